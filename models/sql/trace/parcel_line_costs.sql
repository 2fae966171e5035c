-- The parcels of marts.parcel_line_costs.
select l.shipped_month, l.item_type, l.parcel_id, l.sale_id, l.billed_cents as amount_cents
from marts.parcel_line_costs as l
