-- One row per month in which a touched parcel was or now is shipped, or an account fee was invoiced.
select p.shipped_month from history.core.parcels as p
where p.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select p.shipped_month from core.parcels as p
where p.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select c.invoice_month as shipped_month from touched.changed as c
where c.parcel_id is null and c.invoice_month is not null
