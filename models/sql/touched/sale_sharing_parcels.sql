-- One row per parcel to build again, per parcel that shares a sale with one (its share of the sale depends on them), and per
-- way out or back of one.
select t.parcel_id from touched.parcels as t
union
select w.parcel_id from history.accepted.weights as w where w.sale_id in (select s.sale_id from touched.sales as s)
union
select l.parcel_id from touched.labels as l where l.sale_id in (select s.sale_id from touched.sales as s)
union
select r.return_parcel_id from history.accepted.returns as r
where r.return_parcel_id is not null and r.parcel_id in (select t.parcel_id from touched.parcels as t)
union
select r.parcel_id from history.accepted.returns as r
where r.return_parcel_id in (select t.parcel_id from touched.parcels as t)
