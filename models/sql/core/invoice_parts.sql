-- One row per invoice and month in which its parcels were shipped; charges without a parcel stand in the invoice's month.
select
    coalesce(p.shipped_month, c.invoice_month) as shipped_month,
    c.carrier, c.invoice_number,
    min(c.invoiced_on) as invoiced_on,
    count(*) as line_count,
    count(distinct case when not c.is_account then c.parcel_id end) as parcel_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents,
    cast(sum(case when c.charge_kind = 'tax' then c.amount_cents else 0 end) as bigint) as tax_cents,
    min(c.invoice_total_cents) as least_stated_cents,
    max(c.invoice_total_cents) as most_stated_cents
from core.charge_lines as c
left join core.parcels as p on p.parcel_id = c.parcel_id
group by coalesce(p.shipped_month, c.invoice_month), c.carrier, c.invoice_number
