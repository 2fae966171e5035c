-- One row per carton of the catalogue: what was counted last, what was packed since, and what is left.
-- A count without a day stands as it was recorded. Where more was packed than there were, a delivery came in between:
-- what is left is not known then, and never below zero.
with stated as (
    select
        c.carton_code, c.on_hand, c.counted_on,
        row_number() over (partition by c.carton_code order by c.effective_from desc) as place
    from core.cartons as c
    where c.on_hand is not null
),

counted as (
    select
        s.carton_code, s.on_hand, s.counted_on,
        cast(sum(case when d.carton_code = s.carton_code then d.parcel_count else 0 end) as bigint) as packed_since_count,
        cast(sum(case when d.carton_code = 'unknown' then d.parcel_count else 0 end) as bigint) as unnamed_since_count
    from stated as s
    left join marts.carton_days as d
        on (d.carton_code = s.carton_code or d.carton_code = 'unknown')
        and d.shipped_on > s.counted_on
    where s.place = 1
    group by s.carton_code, s.on_hand, s.counted_on
),

latest as (
    select
        c.carton_code, c.inside_length_in, c.inside_width_in, c.inside_height_in, c.board_in, c.unit_cost_cents,
        c.minimum_order, c.pack_quantity, c.lead_time_days
    from core.cartons as c
    inner join core.current_cartons as n on n.carton_code = c.carton_code and n.effective_from = c.effective_from
)

select
    e.*,
    c.on_hand, c.counted_on,
    case when c.counted_on is not null then c.packed_since_count end as packed_since_count,
    case when c.counted_on is not null then c.unnamed_since_count end as unnamed_since_count,
    coalesce(c.packed_since_count > c.on_hand, false) as is_recount_due,
    case when c.packed_since_count <= c.on_hand then c.on_hand - c.packed_since_count end as stock_left
from latest as e
left join counted as c on c.carton_code = e.carton_code
