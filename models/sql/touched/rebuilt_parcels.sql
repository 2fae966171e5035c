-- One row per parcel built again, and per carrier and month whose account fees are.
select t.parcel_id from touched.parcels as t
union
select c.parcel_id from core.charge_lines as c where c.is_account and c.invoice_month in (select f.invoice_month from touched.fees as f)
union
select c.parcel_id from history.marts.parcel_costs as c
where c.is_account and c.shipped_month in (select f.invoice_month from touched.fees as f)
