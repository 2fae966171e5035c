-- One row per invoice.
select
    i.carrier,
    i.invoice_number,
    min(i.invoiced_on) as invoiced_on,
    cast(sum(i.line_count) as bigint) as line_count,
    cast(sum(i.parcel_count) as bigint) as parcel_count,
    cast(sum(i.amount_cents) as bigint) as amount_cents
from core.invoice_parts as i
group by i.carrier, i.invoice_number
