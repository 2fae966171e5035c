-- One row per other service and reason, or none: parcels compared with it, and why others were not. Reasons that keep a parcel
-- from every service name none.
select
    t.carrier as other_carrier,
    o.service as other_service,
    s.not_compared,
    count(*) as parcel_count
from analysis.parcel_services as s
left join shop.tariff_services as o on o.service_key = s.other_service_key
left join shop.tariffs as t on t.tariff_key = o.tariff_key
group by t.carrier, o.service, s.not_compared
