-- One row per day of shipping and carton: parcels packed in it; "unknown" where no carton is on record.
select
    p.shipped_on,
    coalesce(p.carton_code, 'unknown') as carton_code,
    count(*) as parcel_count
from core.parcels as p
group by p.shipped_on, coalesce(p.carton_code, 'unknown')
