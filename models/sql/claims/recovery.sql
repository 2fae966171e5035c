-- One row per claim of the cause that the carrier decided, as far as it is known what was claimed.
select c.parcel_id, c.packing_evidence, c.claimed_cents, c.paid_cents
from claims_now as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where p.carrier = $carrier
    and c.claim_cause = $cause
    and c.claimed_cents is not null
    and (c.claim_state in ('paid', 'paid in part', 'refused') or (c.claim_state = 'closed' and c.decided_on is not null))
order by c.claim_id
