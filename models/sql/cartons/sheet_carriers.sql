-- One row per item type, packing method, carrier, length from which it charges for the longest side and length plus girth
-- beyond which it charges: how its tariff rounds sides, of the service that most of such parcels went with.
with girths as (
    select distinct
        c.service_key,
        c.threshold_milli - case when c.is_inclusive then 1 else 0 end as girth_most_milli
    from shop.tariff_conditions as c
    inner join shop.tariff_alternatives as a
        on a.service_key = c.service_key
        and a.measure = 'length_plus_girth'
        and a.threshold_milli = c.threshold_milli
    where c.measure = 'length_plus_girth'
),

counted as (
    select
        d.item_type,
        coalesce(d.packing_method, 'unknown') as packing_method,
        p.carrier, p.service,
        max(p.shipped_on) as shipped_on,
        cast(count(*) as bigint) as parcel_count
    from cartons.parcels as d
    inner join core.parcels as p on p.parcel_id = d.parcel_id
    where p.carrier is not null and p.service is not null
    group by d.item_type, coalesce(d.packing_method, 'unknown'), p.carrier, p.service
),

placed as (
    select
        c.*,
        row_number() over (
            partition by c.item_type, c.packing_method, c.carrier order by c.parcel_count desc, c.service
        ) as place
    from counted as c
)

select
    c.item_type, c.packing_method, c.carrier, c.service, c.parcel_count,
    s.side_step_milli, s.side_bias_milli,
    t.length_per_in, t.length_unit,
    l.limit_in,
    g.girth_most_milli
from placed as c
inner join core.tariff_days as d on d.carrier = c.carrier and d.service = c.service and d.shipped_on = c.shipped_on
inner join shop.tariff_services as s on s.tariff_key = d.tariff_key and s.service = d.service
inner join shop.tariffs as t on t.tariff_key = d.tariff_key
left join core.length_limits as l on l.tariff_key = d.tariff_key and l.service = d.service
left join girths as g on g.service_key = s.service_key
where c.place = 1
