-- One row per month in which a touched parcel was or now is shipped, or in which account fees changed.
select p.shipped_month from history.core.parcels as p
where p.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select p.shipped_month from core.parcels as p
where p.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select f.invoice_month as shipped_month from touched.fees as f
