-- One row per carton size and period of validity.
-- Outside sides not stated follow from the board: a 0201 folds two thicknesses on length and width, four on height.
-- Board not stated counts as 5/32 in (common practice, no source).
select
    c.carton_code,
    c.effective_from,
    lead(c.effective_from) over (partition by c.carton_code order by c.effective_from) as effective_before,
    c.carton_style,
    c.inside_length_in,
    c.inside_width_in,
    c.inside_height_in,
    coalesce(c.outside_length_in, c.inside_length_in + 2 * coalesce(c.board_in, 0.15625)) as outside_length_in,
    coalesce(c.outside_width_in, c.inside_width_in + 2 * coalesce(c.board_in, 0.15625)) as outside_width_in,
    coalesce(c.outside_height_in, c.inside_height_in + 4 * coalesce(c.board_in, 0.15625)) as outside_height_in,
    c.board_in,
    c.unit_cost_cents,
    coalesce(c.is_cuttable, false) as is_cuttable,
    c.minimum_height_in,
    c.on_hand,
    c.counted_on,
    c.minimum_order,
    c.pack_quantity,
    c.lead_time_days
from accepted.cartons as c
