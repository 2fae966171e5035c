-- One row per label that was paid for and never scanned, a week or more after it was bought (common practice, no source),
-- with the last day on which the carrier refunds it. Labels of parcels that an invoice or claim names, or whose
-- shipment is billed, went out unscanned; a carrier whose labels show no scan at all says nothing by showing none.
with {today labels},

scanning as (
    select distinct l.carrier
    from core.labels as l
    where l.first_scan_on is not null
),

known as (
    select c.parcel_id from core.charge_lines as c where not c.is_account
    union
    select m.parcel_id from core.claims as m
    union
    select s.parcel_id from core.shipment_parcels as s where s.is_charged
)

select
    l.parcel_id, l.carrier, l.service, l.sale_id, l.bought_on, l.quoted_cents,
    cast(date_diff('day', l.bought_on, t.as_of) as bigint) as unscanned_days,
    l.refund_by_on,
    cast(date_diff('day', t.as_of, l.refund_by_on) as bigint) as refund_days_left
from core.labels as l
cross join today as t
inner join scanning as s on s.carrier = l.carrier
left join known as k on k.parcel_id = l.parcel_id
where
    not l.is_voided
    and l.first_scan_on is null
    and k.parcel_id is null
    and (l.quoted_cents is null or l.quoted_cents > 0)
    and date_diff('day', l.bought_on, t.as_of) >= 7
