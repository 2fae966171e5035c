-- Parcels of one sale of which no record says what each held: the goods are shared among them, and none of the item
-- types is taken for theirs. A bench log with sale lines tells them apart.
select p.parcel_id
from core.packed_lines as p
group by p.parcel_id
having not bool_and(p.is_content_known) and min(p.item_type) <> max(p.item_type)
