-- One row per other service and reason, or none: parcels compared with it, and why others were not. Reasons that keep a parcel
-- from every service name none.
select
    s.other_carrier,
    s.other_service,
    s.not_compared,
    count(*) as parcel_count
from analysis.parcel_services as s
group by s.other_carrier, s.other_service, s.not_compared
