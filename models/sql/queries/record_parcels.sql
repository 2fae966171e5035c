-- One row per accepted record of a parcel: its kind, key and the delivery and row it was read from.
-- Account fees stand under the name that core.charge_lines gives them, sales of which no parcel is known as `sale NUMBER`.
select w.parcel_id, 'weights' as kind,
    coalesce(w.sale_id || '/' || cast(w.line_number as varchar), w.sale_id, w.parcel_id) as row_key,
    w.delivery_id, w.row_number
from accepted.weights as w
union all
select coalesce(c.parcel_id, 'account ' || c.carrier || ' ' || substr(cast(c.invoiced_on as varchar), 1, 7)) as parcel_id,
    'charges' as kind,
    c.invoice_number || '/' || cast(c.line_number as varchar) || ' ' || c.charge_code as row_key,
    c.delivery_id, c.row_number
from accepted.charges as c
union all
select c.parcel_id, 'claims' as kind, c.claim_id as row_key, c.delivery_id, c.row_number
from accepted.claims as c
union all
select r.parcel_id, 'returns' as kind, r.return_id as row_key, r.delivery_id, r.row_number
from accepted.returns as r
union all
select l.parcel_id, 'labels' as kind, l.parcel_id as row_key, l.delivery_id, l.row_number
from accepted.labels as l
union
select l.parcel_id, 'sales' as kind, s.sale_id || '/' || cast(s.line_number as varchar) as row_key,
    s.delivery_id, s.row_number
from core.parcel_lines as l
inner join accepted.sales as s on s.sale_id = l.sale_id and s.line_number = l.line_number
union
select n.parcel_id, 'sales' as kind, s.sale_id || '/' || cast(s.line_number as varchar) as row_key,
    s.delivery_id, s.row_number
from core.sale_parcels as n
inner join accepted.sales as s on s.sale_id = n.sale_id and s.line_number = n.line_number
union all
select 'sale ' || u.sale_id as parcel_id, 'sales' as kind, s.sale_id || '/' || cast(s.line_number as varchar) as row_key,
    s.delivery_id, s.row_number
from core.unsent_sales as u
inner join accepted.sales as s on s.sale_id = u.sale_id and s.line_number = u.line_number
