-- One row per parcel to build again: a changed record names it or its way back, it shares a sale with such a parcel, or its
-- price is now learned otherwise.
select c.parcel_id from touched.changed as c where c.parcel_id is not null
union
select w.parcel_id from history.accepted.weights as w where w.sale_id in (select s.sale_id from touched.named_sales as s)
union
select l.parcel_id from touched.labels as l where l.sale_id in (select s.sale_id from touched.named_sales as s)
union
select r.parcel_id from history.accepted.returns as r
where r.return_parcel_id in (select c.parcel_id from touched.changed as c)
union
select t.parcel_id from touched.taught as t
