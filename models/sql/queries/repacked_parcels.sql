-- One row per parcel of one item type sent in the last twelve months, with a number within its item type in an order
-- that has nothing to do with goods, size or day: the first so many are a fair sample.
with last_day as (
    select cast(max(p.shipped_on) - interval '12' month as date) as since_on
    from core.parcels as p
    where p.has_bench_log
),

months as (
    select v.shipped_month
    from marts.coverage as v
    cross join last_day as d
    where v.shipped_month >= cast(date_trunc('month', d.since_on) as date)
),

recent as (
    select p.parcel_id, p.item_type, p.line_count
    from core.parcels as p
    inner join months as m on m.shipped_month = p.shipped_month
    cross join last_day as d
    where p.has_bench_log and p.shipped_on > d.since_on
        and p.scale_weight_lb is not null and p.service is not null and p.zone is not null
),

mixed as (
    select l.parcel_id
    from core.parcel_lines as l
    inner join recent as p on p.parcel_id = l.parcel_id and p.line_count > 1
    group by l.parcel_id
    having min(l.item_type) = max(l.item_type)
),

numbered as (
    select
        p.parcel_id,
        row_number() over (partition by p.item_type order by md5(p.parcel_id), p.parcel_id) as sample_number
    from recent as p
    left join mixed as x on x.parcel_id = p.parcel_id
    where p.line_count = 1 or x.parcel_id is not null
)

select
    p.parcel_id, p.item_type, p.piece_count, p.carrier, p.service, p.zone, p.shipped_on, p.scale_weight_lb,
    p.is_residential, p.destination_prefix, p.declared_value_cents,
    e.tare_lb as used_tare_lb,
    e.inside_length_in as used_length_in,
    e.inside_width_in as used_width_in,
    coalesce(p.cut_height_in, e.inside_height_in) as used_height_in,
    m.clearance_in as used_clearance_in,
    n.sample_number
from numbered as n
inner join core.parcels as p on p.parcel_id = n.parcel_id
left join core.cartons as e on e.carton_code = p.carton_code and {valid e on p.shipped_on}
left join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
where n.sample_number <= ?
order by p.item_type, n.sample_number
