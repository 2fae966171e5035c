-- The parcels of marts.parcel_costs.
select c.shipped_month, c.carrier, c.item_type, c.packing_method, c.parcel_id, c.billed_cents as amount_cents
from marts.parcel_costs as c
