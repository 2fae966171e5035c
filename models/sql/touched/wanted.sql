-- One row per parcel to build again: all that were shipped in the touched months, and those touched themselves.
select p.parcel_id from history.core.parcels as p
where p.shipped_month in (select m.shipped_month from touched.months as m)
union
select t.parcel_id from touched.parcels as t
