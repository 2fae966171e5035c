-- One row per dispute that was won and claim that was granted whose money has not all come: a credit of the carrier for a
-- dispute, a payment for a claim. Of a dispute that was won without an amount it is not known what is owed. Days are
-- reckoned to the last day that the records know.
with {today weights, charges, claims},

granted as (
    select
        'dispute' as recovery_kind,
        d.dispute_id as recovery_id,
        d.parcel_id, d.carrier, d.item_type,
        d.marked_on as granted_on,
        d.recovered_cents as granted_cents,
        d.credited_cents as received_cents,
        d.outstanding_cents as left_cents
    from marts.billing_disputes as d
    where d.dispute_state = 'won'
    union all
    select
        'claim' as recovery_kind,
        c.claim_id as recovery_id,
        c.parcel_id,
        p.carrier, p.item_type,
        c.decided_on as granted_on,
        c.granted_cents,
        c.paid_cents as received_cents,
        0 as left_cents
    from core.claims as c
    inner join core.parcels as p on p.parcel_id = c.parcel_id
    where c.granted_cents is not null
)

select
    g.recovery_kind, g.recovery_id, g.parcel_id, g.carrier, g.item_type, g.granted_on, g.granted_cents,
    g.received_cents,
    g.granted_cents - g.received_cents as owed_cents,
    case
        when g.granted_on > t.as_of then 0
        else cast(date_diff('day', g.granted_on, t.as_of) as bigint)
    end as days_waiting
from granted as g
cross join today as t
where g.granted_cents > g.received_cents or (g.granted_cents is null and g.left_cents > 0)
