-- One row per claim for damage or loss that is not settled and term of its tariff; one row with unknown terms where no
-- tariff held. The day of shipping is unknown where only an invoice or the claim itself dates the parcel.
select
    c.claim_id, c.parcel_id,
    p.item_type, p.carrier,
    c.claim_cause, c.claim_state, c.opened_on, c.filed_on, c.decided_on, c.appealed_on, c.delivered_on,
    case when p.dated_by in ('shipping', 'label') then p.shipped_on end as shipped_on,
    c.claimed_cents,
    greatest(
        coalesce(c.claimed_cents, c.refund_cents + c.replacement_cents + c.return_cost_cents - c.salvage_cents)
        - c.paid_cents,
        0
    ) as open_cents,
    t.claim_step, t.term_length, t.term_unit, t.term_start
from core.claims as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
left join core.tariff_days as y
    on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
left join shop.tariff_claim_terms as t on t.tariff_key = y.tariff_key
where c.claim_cause in ('damage', 'loss') and c.claim_state not in ('closed', 'withdrawn', 'paid')
order by c.opened_on, c.claim_id, t.claim_step
