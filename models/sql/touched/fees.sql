-- One row per month of an invoice whose account fees changed.
select distinct c.invoice_month
from touched.changed as c
where c.parcel_id is null and c.invoice_month is not null
