-- One row per parcel with a claim for damage or loss whose goods' worth is known.
select
    p.parcel_id, p.shipped_on, p.worth_from_cents, p.has_fragile, p.is_insured, p.is_claim_decided, p.lost_cents,
    p.paid_cents
from core.insured_parcels as p
where p.is_claimed
