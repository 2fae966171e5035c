-- One row per days from sale to shipping in the last twelve months of shipping: sales, and the parcels in which they went.
with latest as (
    select max(v.shipped_month) as last_month from marts.coverage as v
),

sent as (
    select
        p.parcel_id,
        l.sale_id,
        cast(date_diff('day', cast(min(s.sold_at) as date), min(p.shipped_on)) as bigint) as days_to_ship
    from core.packed_lines as l
    inner join core.sale_lines as s on s.sale_id = l.sale_id and s.line_number = l.line_number
    inner join core.parcels as p on p.parcel_id = l.parcel_id
    inner join latest as v on p.shipped_month > cast(v.last_month - interval '12' month as date)
    where (p.has_bench_log or p.has_charges) and p.dated_by in ('shipping', 'label')
    group by p.parcel_id, l.sale_id
)

select
    s.days_to_ship,
    count(distinct s.sale_id) as sale_count,
    count(distinct s.parcel_id) as parcel_count
from sent as s
group by s.days_to_ship
