-- One row per shipment of a parcel whose records are brought, and per one that an invoice line without a parcel names in a
-- month whose account fees changed: who is of it says whether the line is a fee.
select w.shipment_id from history.accepted.weights as w
where w.shipment_id is not null and w.parcel_id in (select s.parcel_id from touched.sale_sharing_parcels as s)
union
select c.shipment_id from history.accepted.charges as c
where c.shipment_id is not null and c.parcel_id in (select s.parcel_id from touched.sale_sharing_parcels as s)
union
select c.shipment_id from history.accepted.charges as c
where
    c.shipment_id is not null and c.parcel_id is null
    and cast(date_trunc('month', c.invoiced_on) as date) in (select f.invoice_month from touched.fees as f)
