-- One row per charge line and the month in which it counts; account fees count in that of their invoice.
select
    c.parcel_id,
    coalesce(p.shipped_month, c.invoice_month) as shipped_month,
    c.carrier, c.charge_code, c.charge_kind, c.amount_cents
from core.charge_lines as c
left join core.parcels as p on p.parcel_id = c.parcel_id
