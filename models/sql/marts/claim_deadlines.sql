-- One row per claim that wants something done: to be filed, asked after (an answer is late after 30 days; common practice,
-- no source), or contested where less was paid than claimed; and whether the carrier's window is still open.
-- The window is the claim_days of the tariff valid on the day of shipping, that of an appeal its own term there; without
-- a tariff, or where that states none, it is unknown, and so it is where only an invoice or the claim itself dates the parcel: it counts from
-- shipping, which was earlier. How long a claim waits is known only where the day of its state is: an export that calls it
-- appealed or filed without saying when says nothing but that it was reported earlier. A term of appeal in working days
-- wants a calendar, and stays unknown here.
with {today weights, charges, claims},

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
        c.opened_on, c.filed_on, c.decided_on, c.delivered_on,
        case
            when c.claim_state = 'reported' then c.last_step_on
            when c.claim_state = 'filed' then c.filed_on
            when c.claim_state = 'appealed' then c.appealed_on
            when c.claim_state in ('paid', 'paid in part') then c.decided_on
            when c.last_step_on > coalesce(c.decided_on, c.filed_on, c.opened_on) then c.last_step_on
        end as stood_so_on,
        y.tariff_key,
        t.as_of,
        c.claimed_cents, c.paid_cents,
        c.refund_cents + c.replacement_cents + c.return_cost_cents - c.salvage_cents as spent_cents
    from core.claims as c
    cross join today as t
    inner join core.parcels as p on p.parcel_id = c.parcel_id
    left join core.tariff_days as y
        on y.carrier = p.carrier and y.service = coalesce(p.service, '') and y.shipped_on = p.shipped_on
    where c.claim_cause in ('damage', 'loss')
),

termed as (
    select
        c.claim_id,
        a.term_length, a.term_unit,
        case a.term_start
            when 'shipped_on' then c.shipped_on
            when 'delivered_on' then c.delivered_on
            when 'opened_on' then c.opened_on
            when 'filed_on' then c.filed_on
            when 'decided_on' then c.decided_on
        end as starts_on
    from claims as c
    inner join shop.tariff_claim_terms as a
        on a.tariff_key = c.tariff_key
        and a.claim_step = case c.claim_task when 'file' then 'filing' when 'contest' then 'appeal' end
),

deadlines as (
    select
        c.*,
        case e.term_unit
            when 'days' then cast(e.starts_on + e.term_length * interval '1' day as date)
            when 'months' then cast(e.starts_on + e.term_length * interval '1' month as date)
        end as claim_due_on
    from claims as c
    left join termed as e on e.claim_id = c.claim_id
    where c.claim_task is not null
)

select
    c.claim_id, c.parcel_id, c.item_type, c.carrier, c.claim_cause, c.claim_task, c.shipped_on, c.opened_on, c.filed_on,
    c.decided_on, c.claim_due_on,
    cast(date_diff('day', c.as_of, c.claim_due_on) as bigint) as days_left,
    cast(date_diff('day', c.stood_so_on, c.as_of) as bigint) as days_waiting,
    c.claim_due_on >= c.as_of as is_in_time,
    c.claimed_cents, c.paid_cents,
    greatest(coalesce(c.claimed_cents, c.spent_cents) - c.paid_cents, 0) as open_cents
from deadlines as c
