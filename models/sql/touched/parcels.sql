-- One row per parcel to build again: a changed record names it or its way back, it shares a sale with such a parcel, or its
-- price is now learned otherwise; and all that is of one shipment with such a parcel, the shipment's own number too.
with single as (
    select c.parcel_id from touched.changed as c where c.parcel_id is not null
    union
    select w.parcel_id from history.accepted.weights as w where w.sale_id in (select s.sale_id from touched.named_sales as s)
    union
    select l.parcel_id from touched.labels as l where l.sale_id in (select s.sale_id from touched.named_sales as s)
    union
    select r.parcel_id from history.accepted.returns as r
    where r.return_parcel_id in (select c.parcel_id from touched.changed as c)
    union
    select t.parcel_id from touched.relearned as t
),

shipments as (
    select s.shipment_id from touched.shipments as s
    union
    select w.shipment_id from history.accepted.weights as w
    where w.shipment_id is not null and w.parcel_id in (select s.parcel_id from single as s)
    union
    select c.shipment_id from history.accepted.charges as c
    where c.shipment_id is not null and c.parcel_id in (select s.parcel_id from single as s)
)

select s.parcel_id from single as s
union
select s.shipment_id as parcel_id from shipments as s
union
select w.parcel_id from history.accepted.weights as w where w.shipment_id in (select s.shipment_id from shipments as s)
union
select c.parcel_id from history.accepted.charges as c
where c.parcel_id is not null and c.shipment_id in (select s.shipment_id from shipments as s)
