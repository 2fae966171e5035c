-- One row per parcel and invoice: its base price as billed, before discounts that stand on lines of their own.
select
    l.carrier,
    l.service,
    l.zone,
    ? as period,
    max(l.billed_weight_lb) as billed_weight_lb,
    max(l.amount_cents) as base_cents
from core.charge_lines as l
where
    l.charge_kind = 'base'
    and l.amount_cents > 0
    and l.billed_weight_lb > 0
    and l.carrier = ?
    and l.shipped_on >= ?
    and l.shipped_on <= ?
group by l.carrier, l.service, l.zone, l.parcel_id, l.invoice_number
