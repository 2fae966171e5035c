-- One row per sale of a parcel to build again, and per sale that changed.
select s.sale_id from touched.named_sales as s
union
select w.sale_id from history.accepted.weights as w
where w.sale_id is not null and w.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select l.sale_id from touched.labels as l where l.parcel_id in (select t.parcel_id from touched.parcels as t)
