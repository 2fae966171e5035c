-- One row per claim for damage or loss that is not closed, with the parcel's day and the tariff of that day.
select
    c.claim_id,
    c.parcel_id,
    c.claim_cause,
    c.claim_state,
    c.opened_on,
    c.filed_on,
    c.decided_on,
    c.appealed_on,
    c.delivered_on,
    c.last_step_on,
    c.claimed_cents,
    c.paid_cents,
    p.shipped_on,
    p.carrier,
    y.tariff_key
from claims_now as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
left join core.tariff_days as y
    on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
where c.claim_cause in ('damage', 'loss') and c.claim_state not in ('closed', 'withdrawn', 'paid')
order by c.opened_on, c.claim_id
