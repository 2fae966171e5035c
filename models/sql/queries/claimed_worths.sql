-- One row per parcel with a claim for damage or loss whose goods' worth is known.
select p.parcel_id, p.worth_cents
from core.insured_parcels as p
where p.is_claimed and p.worth_cents > 0
order by p.parcel_id
