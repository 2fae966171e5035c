-- One row per parcel and other service that it was compared with or why not; reasons that keep it from every service name none.
select
    s.parcel_id,
    t.carrier as other_carrier,
    o.service as other_service,
    s.not_compared,
    s.expected_cents as amount_cents
from analysis.parcel_services as s
left join shop.tariff_services as o on o.service_key = s.other_service_key
left join shop.tariffs as t on t.tariff_key = o.tariff_key
