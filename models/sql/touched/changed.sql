-- One row per record that came or went since a delivery: what it names. Rows replaced by a correction count too.
select w.parcel_id, w.sale_id, cast(null as date) as invoice_month, w.shipment_id from history.accepted.weights as w
where w.delivery_id > $delivery
union all
select w.parcel_id, w.sale_id, null, w.shipment_id from history.superseded.weights as w where w.superseded_by > $delivery
union all
select c.parcel_id, c.sale_id, cast(date_trunc('month', c.invoiced_on) as date), c.shipment_id from history.accepted.charges as c
where c.delivery_id > $delivery
union all
select c.parcel_id, c.sale_id, cast(date_trunc('month', c.invoiced_on) as date), c.shipment_id from history.superseded.charges as c
where c.superseded_by > $delivery
union all
select c.parcel_id, null, null, null from history.accepted.claims as c where c.delivery_id > $delivery
union all
select c.parcel_id, null, null, null from history.superseded.claims as c where c.superseded_by > $delivery
union all
select r.parcel_id, null, null, null from history.accepted.returns as r where r.delivery_id > $delivery
union all
select r.return_parcel_id, null, null, null from history.accepted.returns as r where r.delivery_id > $delivery
union all
select r.parcel_id, null, null, null from history.superseded.returns as r where r.superseded_by > $delivery
union all
select r.return_parcel_id, null, null, null from history.superseded.returns as r where r.superseded_by > $delivery
union all
select l.parcel_id, l.sale_id, null, null from history.accepted.labels as l where l.delivery_id > $delivery
union all
select l.parcel_id, l.sale_id, null, null from history.superseded.labels as l where l.superseded_by > $delivery
union all
select s.parcel_id, s.sale_id, null, null from history.accepted.sales as s where s.delivery_id > $delivery
union all
select s.parcel_id, s.sale_id, null, null from history.superseded.sales as s where s.superseded_by > $delivery
union all
-- What was said of claims at the command line since the last build.
select o.parcel_id, null, null, null from history.shop.claim_openings as o where o.delivery_id >= $delivery
union all
select m.parcel_id, null, null, null from history.shop.claim_marks as m where m.delivery_id >= $delivery
