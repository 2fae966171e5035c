-- One row per claim on a parcel that the bench log or an invoice knows: what was packed how, how late it was reported,
-- what it cost. The carrier's payment is unknown while a claim is open.
select
    c.claim_id, c.parcel_id,
    p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    p.carrier,
    coalesce(p.service, 'unknown') as service,
    z.zone_band,
    p.shipped_on,
    c.opened_on,
    cast(date_diff('day', p.shipped_on, c.opened_on) as bigint) as reporting_lag_days,
    c.claim_cause, c.claim_state, c.claimed_cents,
    case
        when c.claim_state in ('reported', 'filed', 'asked', 'appealed') and c.paid_cents = 0 then null
        else c.paid_cents
    end as paid_cents,
    c.claim_cost_cents
from core.claims as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
inner join core.zone_bands as z on z.carrier = p.carrier and z.zone = coalesce(p.zone, 'unknown')
where p.has_bench_log or p.has_charges
