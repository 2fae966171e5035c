-- One row per claim: of the records, and those opened at the command line whose parcel and cause no record names yet. Such
-- a record takes over what was said of the opened claim. Of record and mark the one of the later day says how it stands.
-- Amounts not stated count as none. What a claim cost is what was spent on the buyer, less salvage; where no record says
-- that, what was claimed, or else what the carrier paid, so that no payment is a gain. What is lost is net of the payment.
with numbered as (
    select
        c.*,
        row_number() over (partition by c.parcel_id, c.claim_cause order by c.opened_on, c.claim_id) as place
    from accepted.claims as c
),

listed as (
    select
        c.claim_id,
        coalesce(o.claim_id, c.claim_id) as marked_id,
        c.parcel_id, c.opened_on, c.claim_cause, c.claim_state, c.filed_on, c.decided_on,
        coalesce(c.decided_on, c.filed_on, c.opened_on) as stated_on,
        c.damaged_part, c.packing_evidence, c.claimed_cents, c.granted_cents, c.paid_cents, c.refund_cents,
        c.replacement_cents, c.return_cost_cents, c.salvage_cents
    from numbered as c
    left join shop.claim_openings as o on o.parcel_id = c.parcel_id and o.claim_cause = c.claim_cause and c.place = 1
    union all
    -- Of these no record says anything.
    select
        o.claim_id,
        o.claim_id as marked_id,
        o.parcel_id, o.opened_on, o.claim_cause,
        'reported' as claim_state,
        c.filed_on, c.decided_on,
        o.opened_on as stated_on,
        o.damaged_part,
        c.packing_evidence, c.claimed_cents, c.granted_cents, c.paid_cents, c.refund_cents, c.replacement_cents,
        c.return_cost_cents, c.salvage_cents
    from shop.claim_openings as o
    left join accepted.claims as c on c.parcel_id = o.parcel_id and c.claim_cause = o.claim_cause
    where c.claim_id is null
),

marks as (
    select
        m.*,
        row_number() over (partition by m.claim_id order by m.marked_at desc, m.last_step_on desc) as place
    from shop.claim_marks as m
),

-- n: the mark where it is the later, so that it goes before the record.
stated as (
    select
        l.claim_id, l.parcel_id, l.opened_on, l.claim_cause,
        coalesce(n.claim_state, l.claim_state) as claim_state,
        coalesce(n.last_step_on, l.stated_on) as last_step_on,
        coalesce(l.filed_on, m.filed_on) as filed_on,
        coalesce(n.decided_on, l.decided_on) as decided_on,
        m.appealed_on, m.delivered_on,
        l.damaged_part, l.packing_evidence,
        coalesce(n.claimed_cents, l.claimed_cents, m.claimed_cents) as claimed_cents,
        l.granted_cents,
        coalesce(n.paid_cents, l.paid_cents, m.paid_cents, 0) as paid_cents,
        coalesce(n.refund_cents, l.refund_cents, m.refund_cents, 0) as refund_cents,
        coalesce(n.replacement_cents, l.replacement_cents, m.replacement_cents, 0) as replacement_cents,
        coalesce(n.return_cost_cents, l.return_cost_cents, m.return_cost_cents, 0) as return_cost_cents,
        coalesce(n.salvage_cents, l.salvage_cents, m.salvage_cents, 0) as salvage_cents,
        coalesce(
            l.refund_cents, l.replacement_cents, l.return_cost_cents, m.refund_cents, m.replacement_cents,
            m.return_cost_cents
        ) is not null as is_cost_stated
    from listed as l
    left join marks as m on m.claim_id = l.marked_id and m.place = 1
    left join marks as n on n.claim_id = m.claim_id and n.place = 1 and n.last_step_on >= l.stated_on
),

costed as (
    select
        s.*,
        case
            when s.is_cost_stated
                then s.refund_cents + s.replacement_cents + s.return_cost_cents - s.salvage_cents
            when s.claim_state = 'withdrawn' then s.paid_cents
            else greatest(coalesce(s.claimed_cents, 0) - s.salvage_cents, s.paid_cents)
        end as claim_cost_cents
    from stated as s
)

select
    s.claim_id, s.parcel_id, s.opened_on, s.claim_cause, s.claim_state, s.filed_on, s.decided_on, s.damaged_part,
    s.packing_evidence, s.claimed_cents, s.granted_cents, s.paid_cents, s.refund_cents, s.replacement_cents,
    s.return_cost_cents, s.salvage_cents, s.is_cost_stated, s.claim_cost_cents,
    s.claim_cost_cents - s.paid_cents as loss_cents,
    s.last_step_on, s.appealed_on, s.delivered_on
from costed as s
