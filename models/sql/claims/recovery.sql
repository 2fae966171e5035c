-- One row: what the carrier made of decided claims of the cause, as far as it is known what was claimed.
select
    count(*) as decided_count,
    count(case when c.paid_cents > 0 then 1 end) as paid_count,
    cast(sum(c.claimed_cents) as bigint) as claimed_cents,
    cast(sum(c.paid_cents) as bigint) as paid_cents
from claims_now as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where p.carrier = $carrier
    and c.claim_cause = $cause
    and c.claimed_cents is not null
    and (c.claim_state in ('paid', 'paid in part', 'refused') or (c.claim_state = 'closed' and c.decided_on is not null))
