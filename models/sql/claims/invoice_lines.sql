-- One row per line of a carrier's invoice on the parcel.
select c.invoiced_on, c.invoice_number, c.line_number, c.charge_code, c.charge_kind, c.amount_cents
from core.charge_lines as c
where c.parcel_id = ?
order by c.invoiced_on, c.invoice_number, c.line_number
