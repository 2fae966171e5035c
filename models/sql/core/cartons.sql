-- One row per carton size and period of validity.
-- What an entry leaves blank stands as an earlier one stated it; the tare only where the inside sides are the same,
-- outside sides where the board is, too, the least height as long as the carton is that high. A count belongs to its own entry.
-- Outside sides not stated follow from the board: a 0201 folds two thicknesses on length and width, four on height.
-- What a whole pack costs is shared by its pieces. Board not stated counts as 5/32 in (common practice, no source).
with stated as (
    select
        c.carton_code, c.effective_from,
        {last_stated carton_style, board_in, is_cuttable, minimum_height_in in c by carton_code},
        {last_stated telescope_overlap_in in c by carton_code},
        {last_stated tare_lb in c by carton_code, inside_length_in, inside_width_in, inside_height_in},
        {last_stated minimum_order, pack_quantity, lead_time_days in c by carton_code}
    from accepted.cartons as c
),

sized as (
    select
        c.carton_code, c.effective_from, c.inside_length_in, c.inside_width_in, c.inside_height_in, c.outside_length_in,
        c.outside_width_in, c.outside_height_in,
        case
            when c.is_price_of_several then cast(round(cast(c.unit_cost_cents as double) / c.pack_quantity) as bigint)
            else c.unit_cost_cents
        end as unit_cost_cents,
        c.on_hand, c.counted_on,
        s.carton_style, s.board_in, s.tare_lb, s.is_cuttable, s.minimum_height_in, s.telescope_overlap_in,
        s.minimum_order, s.pack_quantity, s.lead_time_days
    from accepted.cartons as c
    inner join stated as s on s.carton_code = c.carton_code and s.effective_from = c.effective_from
),

known as (
    select
        s.carton_code, s.effective_from,
        {last_stated outside_length_in, outside_width_in, outside_height_in in s
            by carton_code, inside_length_in, inside_width_in, inside_height_in, board_in}
    from sized as s
)

select
    c.carton_code, c.effective_from,
    lead(c.effective_from) over (partition by c.carton_code order by c.effective_from) as effective_before,
    c.carton_style, c.inside_length_in, c.inside_width_in, c.inside_height_in,
    coalesce(k.outside_length_in, c.inside_length_in + 2 * coalesce(c.board_in, 0.15625)) as outside_length_in,
    coalesce(k.outside_width_in, c.inside_width_in + 2 * coalesce(c.board_in, 0.15625)) as outside_width_in,
    coalesce(k.outside_height_in, c.inside_height_in + 4 * coalesce(c.board_in, 0.15625)) as outside_height_in,
    c.board_in, c.tare_lb, c.unit_cost_cents,
    coalesce(c.is_cuttable, false) as is_cuttable,
    case when c.minimum_height_in <= c.inside_height_in then c.minimum_height_in end as minimum_height_in,
    c.telescope_overlap_in, c.on_hand, c.counted_on, c.minimum_order, c.pack_quantity, c.lead_time_days
from sized as c
inner join known as k on k.carton_code = c.carton_code and k.effective_from = c.effective_from
