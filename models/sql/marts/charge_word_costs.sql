-- One row per month of shipping, carrier, word of its invoices and kind: lines, parcels and cents. Account fees stand in the
-- month of their invoice. The sum of amount_cents is that of all accepted charge lines.
select
    coalesce(p.shipped_month, c.invoice_month) as shipped_month,
    c.carrier, c.charge_code, c.charge_kind,
    count(*) as line_count,
    count(distinct case when not c.is_account then c.parcel_id end) as charged_parcel_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents
from core.charge_lines as c
left join core.parcels as p on p.parcel_id = c.parcel_id
group by coalesce(p.shipped_month, c.invoice_month), c.carrier, c.charge_code, c.charge_kind
