-- One row per sale that a changed record names, or that a parcel so named belongs to.
select c.sale_id from touched.changed as c where c.sale_id is not null
union
select w.sale_id from history.accepted.weights as w
where w.sale_id is not null and w.parcel_id in (select c.parcel_id from touched.changed as c)
union
select l.sale_id from touched.labels as l where l.parcel_id in (select c.parcel_id from touched.changed as c)
