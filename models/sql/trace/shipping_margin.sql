-- The parcels behind marts.shipping_margin.
select c.shipped_month, c.parcel_id, c.margin_cents as amount_cents
from marts.parcel_costs as c
