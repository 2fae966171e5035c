-- One row per other service and reason, or none: parcels compared with it, and why others were not. Reasons that keep a parcel
-- from every service name none.
select
    t.carrier as other_carrier,
    o.service as other_service,
    s.not_compared,
    count(*) as parcel_count
from analysis.parcel_services as s
inner join shop.tariff_services as o on o.service_key = s.other_service_key
inner join shop.tariffs as t on t.tariff_key = o.tariff_key
group by t.carrier, o.service, s.not_compared
union all
select
    cast(null as varchar) as other_carrier,
    cast(null as varchar) as other_service,
    m.not_compared,
    count(*) as parcel_count
from analysis.compared_parcels as m
where m.not_compared is not null
group by m.not_compared
