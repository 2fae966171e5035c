-- One row per day of shipping, band of worth, fragile or not, insured or not: parcels, their worth and their premiums.
select
    p.shipped_on, p.worth_from_cents, p.has_fragile, p.is_insured,
    count(*) as parcel_count,
    {sums p.worth_cents, p.premium_cents}
from core.insured_parcels as p
group by p.shipped_on, p.worth_from_cents, p.has_fragile, p.is_insured
