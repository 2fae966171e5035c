-- One row per claim. Amounts not stated count as none; what is lost is net of salvage and of what the carrier paid.
select
    c.claim_id,
    c.parcel_id,
    c.opened_on,
    c.claim_cause,
    c.claim_state,
    c.filed_on,
    c.decided_on,
    c.damaged_part,
    c.packing_evidence,
    c.claimed_cents,
    c.granted_cents,
    coalesce(c.paid_cents, 0) as paid_cents,
    coalesce(c.refund_cents, 0) as refund_cents,
    coalesce(c.replacement_cents, 0) as replacement_cents,
    coalesce(c.return_cost_cents, 0) as return_cost_cents,
    coalesce(c.salvage_cents, 0) as salvage_cents,
    coalesce(c.refund_cents, 0) + coalesce(c.replacement_cents, 0) + coalesce(c.return_cost_cents, 0)
    - coalesce(c.salvage_cents, 0) - coalesce(c.paid_cents, 0) as loss_cents
from accepted.claims as c
