-- Parcels of one sale of which no record says what each of them held: each counts as holding a share of all the goods,
-- and its item type may be another's.
with without_pieces as (
    select l.parcel_id
    from core.parcel_lines as l
    group by l.parcel_id
    having sum(l.packed_quantity) = 0
)

select distinct o.parcel_id
from without_pieces as w
inner join core.parcel_lines as l on l.parcel_id = w.parcel_id
inner join core.parcel_lines as o on o.sale_id = l.sale_id and o.line_number = l.line_number
