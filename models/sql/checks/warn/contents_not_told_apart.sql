-- Parcels of one sale of which no record says what each of them held: each counts as holding a share of all the goods,
-- and its item type may be another's.
select l.parcel_id
from core.parcel_lines as l
group by l.parcel_id
having sum(l.packed_quantity) = 0
