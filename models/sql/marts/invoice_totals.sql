-- One row per invoice.
select
    c.carrier,
    c.invoice_number,
    min(c.invoiced_on) as invoiced_on,
    count(*) as line_count,
    count(distinct case when not c.is_account then c.parcel_id end) as parcel_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
group by c.carrier, c.invoice_number
