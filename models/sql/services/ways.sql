-- One row per parcel that may be compared and service of a tariff of its day other than the one it went by: the parcel as it
-- was, on that service, and what keeps the two from being compared. Of several tariffs of a carrier that state a service
-- the latest counts. `request_id` is the parcel, times 2^20, and the service.
with days as (
    select distinct p.shipped_on
    from services.parcels as p
    where p.not_compared is null
),

offered as (
    select
        d.shipped_on,
        t.carrier,
        s.service, s.service_key,
        row_number() over (
            partition by d.shipped_on, t.carrier, s.service order by t.effective_from desc, t.tariff_key desc
        ) as place
    from days as d
    inner join shop.tariffs as t on {in_force t on d.shipped_on}
    inner join shop.tariff_services as s on s.tariff_key = t.tariff_key
)

select
    p.parcel_number * 1048576 + o.service_key as request_id,
    o.carrier, o.service,
    z.zone,
    p.shipped_on, p.length_in, p.width_in, p.height_in, p.is_rectangular, p.scale_weight_lb, p.is_residential,
    p.destination_prefix, p.declared_value_cents,
    coalesce(z.not_compared, case when z.promised_days > p.promised_days then 'slower' end) as not_compared
from services.parcels as p
inner join offered as o
    on o.shipped_on = p.shipped_on and o.place = 1 and not (o.carrier = p.carrier and o.service = p.service)
inner join services.destinations as z on z.service_key = o.service_key and z.destination_prefix = p.destination_prefix
where p.not_compared is null
