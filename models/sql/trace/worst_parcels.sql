-- The parcels of marts.worst_parcels.
select w.shipped_month, w.carrier, w.item_type, w.packing_method, w.parcel_id, w.margin_cents as amount_cents
from marts.worst_parcels as w
