-- One row per parcel, sale and kind of record that names both together, but for lines that the bench log packed.
select distinct
    w.parcel_id, w.sale_id,
    'bench log' as named_by
from accepted.weights as w
where w.sale_id is not null and w.line_number is null
union all
select distinct
    s.parcel_id, s.sale_id,
    'sale' as named_by
from core.sale_parcels as s
union all
select distinct
    l.parcel_id, l.sale_id,
    'label' as named_by
from core.labels as l
where l.sale_id is not null and not l.is_voided
union all
select distinct
    c.parcel_id, c.sale_id,
    'invoice' as named_by
from accepted.charges as c
where c.parcel_id is not null and c.sale_id is not null
