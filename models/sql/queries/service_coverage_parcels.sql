-- One row per parcel and other service that it was compared with or why not; reasons that keep it from every service name none.
select
    m.parcel_id,
    t.carrier as other_carrier,
    o.service as other_service,
    coalesce(m.not_compared, s.not_compared) as not_compared,
    m.expected_cents as amount_cents
from analysis.compared_parcels as m
left join analysis.parcel_services as s on s.parcel_number = m.parcel_number
left join shop.tariff_services as o on o.service_key = s.other_service_key
left join shop.tariffs as t on t.tariff_key = o.tariff_key
where m.not_compared is not null or s.parcel_number is not null
