-- Where each accepted row of the named parcels came from: kind, key, file and row.
with rows as (
    select w.parcel_id, 'weights' as kind, w.sale_id || '/' || cast(w.line_number as varchar) as row_key,
        w.delivery_id, w.row_number
    from accepted.weights as w
    union all
    select c.parcel_id, 'charges' as kind,
        c.invoice_number || '/' || cast(c.line_number as varchar) || ' ' || c.charge_code as row_key,
        c.delivery_id, c.row_number
    from accepted.charges as c
    union all
    select c.parcel_id, 'claims' as kind, c.claim_id as row_key, c.delivery_id, c.row_number
    from accepted.claims as c
    union all
    select l.parcel_id, 'sales' as kind, s.sale_id || '/' || cast(s.line_number as varchar) as row_key,
        s.delivery_id, s.row_number
    from core.parcel_lines as l
    inner join accepted.sales as s on s.sale_id = l.sale_id and s.line_number = l.line_number
)

select r.parcel_id, r.kind, r.row_key, d.file_name, r.row_number, d.content_hash, r.delivery_id
from rows as r
inner join intake.deliveries as d on d.delivery_id = r.delivery_id
where r.parcel_id in (select unnest(cast(? as varchar[])))
order by r.parcel_id, r.kind, d.file_name, r.row_number
