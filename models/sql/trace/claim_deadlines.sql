-- The parcels behind marts.claim_deadlines.
select d.claim_id, d.item_type, d.carrier, d.claim_task, d.parcel_id, d.open_cents as amount_cents
from marts.claim_deadlines as d
