-- The parcels behind marts.invoice_totals.
select c.carrier, c.invoice_number, c.parcel_id, c.amount_cents
from core.charge_lines as c
