-- One row per claim that wants something done: to be filed while the carrier's window is open, asked after where no
-- answer came in 30 days (common practice, no source), or contested where less was paid than claimed.
-- The window is the claim_days of the tariff valid on the day of shipping; without a tariff it is unknown, and so it is
-- where only an invoice or the claim itself dates the parcel: it counts from shipping, which was earlier.
with today as (
    select max(s.last_on) as as_of
    from marts.record_states as s
    where s.kind in ('weights', 'charges', 'claims')
),

claims as (
    select
        c.claim_id, c.parcel_id,
        p.item_type, p.carrier,
        c.claim_cause, c.claim_state,
        case
            when c.claim_state = 'reported' and c.filed_on is null then 'file'
            when c.claim_state = 'filed' and c.decided_on is null
                and date_diff('day', coalesce(c.filed_on, c.opened_on), t.as_of) >= 30 then 'ask'
            when c.claim_state in ('asked', 'appealed')
                and date_diff('day', c.last_step_on, t.as_of) >= 30 then 'ask'
            when c.claim_state in ('paid', 'paid in part') and c.paid_cents < c.claimed_cents then 'contest'
        end as claim_task,
        case when p.dated_by in ('shipping', 'label') then p.shipped_on end as shipped_on,
        c.opened_on, c.filed_on, c.decided_on, c.last_step_on,
        case
            when p.dated_by in ('shipping', 'label')
                then cast(p.shipped_on + f.claim_days * interval '1' day as date)
        end as claim_due_on,
        t.as_of,
        c.claimed_cents, c.paid_cents,
        c.refund_cents + c.replacement_cents + c.return_cost_cents - c.salvage_cents as spent_cents
    from core.claims as c
    cross join today as t
    inner join core.parcels as p on p.parcel_id = c.parcel_id
    left join core.tariff_days as y
        on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
    left join shop.tariffs as f on f.tariff_key = y.tariff_key
    where c.claim_cause in ('damage', 'loss')
)

select
    c.claim_id, c.parcel_id, c.item_type, c.carrier, c.claim_cause, c.claim_task, c.shipped_on, c.opened_on, c.filed_on,
    c.decided_on,
    case when c.claim_task = 'file' then c.claim_due_on end as claim_due_on,
    case when c.claim_task = 'file' then cast(date_diff('day', c.as_of, c.claim_due_on) as bigint) end as days_left,
    cast(date_diff('day', c.last_step_on, c.as_of) as bigint) as days_waiting,
    case when c.claim_task = 'file' then c.claim_due_on >= c.as_of end as is_in_time,
    c.claimed_cents, c.paid_cents,
    greatest(coalesce(c.claimed_cents, c.spent_cents) - c.paid_cents, 0) as open_cents
from claims as c
where c.claim_task is not null
