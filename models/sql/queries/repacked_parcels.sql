-- One row per parcel of one item type sent in the last twelve months, with a number within its item type in an order
-- that has nothing to do with goods, size or day: the first so many are a fair sample.
with last_day as (
    select cast(max(p.shipped_on) - interval '12' month as date) as since_on
    from core.parcels as p
    where p.has_bench_log
),

single as (
    select
        l.parcel_id,
        min(l.item_type) as item_type,
        cast(sum(l.packed_quantity) as bigint) as piece_count
    from core.parcel_lines as l
    inner join core.parcels as p on p.parcel_id = l.parcel_id
    cross join last_day as d
    where p.has_bench_log and p.shipped_on > d.since_on
    group by l.parcel_id
    having count(distinct l.item_type) = 1
),

numbered as (
    select
        p.parcel_id,
        s.item_type,
        s.piece_count,
        p.carrier,
        p.service,
        p.zone,
        p.shipped_on,
        p.scale_weight_lb,
        p.is_residential,
        p.destination_prefix,
        p.declared_value_cents,
        row_number() over (partition by s.item_type order by md5(p.parcel_id), p.parcel_id) as sample_number
    from core.parcels as p
    inner join single as s on s.parcel_id = p.parcel_id
    cross join last_day as d
    where p.has_bench_log
        and p.shipped_on > d.since_on
        and p.scale_weight_lb is not null
        and p.service is not null
        and p.zone is not null
)

select n.*
from numbered as n
where n.sample_number <= ?
order by n.item_type, n.sample_number
