-- Claims for parcels that neither the bench log nor an invoice knows.
select c.claim_id, c.parcel_id
from core.claims as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where not p.has_bench_log and not p.has_charges
