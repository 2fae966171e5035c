-- Claims of which no record says what was spent on the buyer: what was claimed, or else what the carrier paid, counts
-- as what the damage cost.
select c.claim_id, c.parcel_id, c.claimed_cents, c.paid_cents
from core.claims as c
where not c.is_cost_stated and c.claim_cost_cents > 0
