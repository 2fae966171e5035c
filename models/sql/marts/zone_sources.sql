-- One row per month of shipping, carrier and source: parcels whose zone is not on record, and what gave them one.
select
    p.shipped_month, p.carrier,
    z.zone_source,
    count(*) as parcel_count
from core.parcel_zones as z
inner join core.parcels as p on p.parcel_id = z.parcel_id
group by p.shipped_month, p.carrier, z.zone_source
