-- One row per shipment that a changed record names, or that a parcel so named is of.
select c.shipment_id from touched.changed as c where c.shipment_id is not null
union
select w.shipment_id from history.accepted.weights as w
where w.shipment_id is not null and w.parcel_id in (select c.parcel_id from touched.changed as c)
union
select c.shipment_id from history.accepted.charges as c
where c.shipment_id is not null and c.parcel_id in (select t.parcel_id from touched.changed as t)
