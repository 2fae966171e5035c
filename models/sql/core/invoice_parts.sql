-- One row per invoice and month in which its parcels were shipped; charges without a parcel stand in the invoice's month.
select
    coalesce(p.shipped_month, c.invoice_month) as shipped_month,
    c.carrier,
    c.invoice_number,
    min(c.invoiced_on) as invoiced_on,
    count(*) as line_count,
    count(distinct case when not c.is_account then c.parcel_id end) as parcel_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
left join core.parcels as p on p.parcel_id = c.parcel_id
group by coalesce(p.shipped_month, c.invoice_month), c.carrier, c.invoice_number
