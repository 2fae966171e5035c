-- One row per month of an invoice whose account fees changed. A line that names a shipment alone is one until a
-- parcel of it is known.
select distinct c.invoice_month
from touched.changed as c
where c.parcel_id is null and c.invoice_month is not null
union
select cast(date_trunc('month', g.invoiced_on) as date) as invoice_month
from history.accepted.charges as g
where g.parcel_id is null and g.shipment_id in (select s.shipment_id from touched.shipments as s)
