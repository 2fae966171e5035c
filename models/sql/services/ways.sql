-- One row per parcel that may be compared and service of a tariff of its day other than the one it went by: what
-- keeps the two from being compared. Of several tariffs of a carrier that state a service the latest counts.
with days as (
    select distinct p.shipped_on
    from services.parcels as p
    where p.not_compared is null
),

offered as (
    select
        d.shipped_on,
        t.carrier,
        s.service,
        s.service_key,
        row_number() over (
            partition by d.shipped_on, t.carrier, s.service order by t.effective_from desc, t.tariff_key desc
        ) as place
    from days as d
    inner join shop.tariffs as t on {in_force t on d.shipped_on}
    inner join shop.tariff_services as s on s.tariff_key = t.tariff_key
)

select
    row_number() over () as request_id,
    p.parcel_id,
    o.carrier as other_carrier,
    o.service as other_service,
    z.zone as other_zone,
    z.promised_days as other_promised_days,
    coalesce(z.not_compared, case when z.promised_days > p.promised_days then 'slower' end) as not_compared
from services.parcels as p
inner join offered as o
    on o.shipped_on = p.shipped_on and o.place = 1 and not (o.carrier = p.carrier and o.service = p.service)
inner join services.destinations as z
    on z.service_key = o.service_key and z.destination_prefix = p.destination_prefix
where p.not_compared is null
