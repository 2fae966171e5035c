-- One row per record without its counterpart: the month and kind of the gap, its money, and the parcel, or for a sale
-- without one the name under which the records of parcels list it.
select g.shipped_month, g.gap, g.parcel_id, g.gap_cents
from core.parcel_gaps as g
union all
select
    cast(date_trunc('month', s.sold_at) as date) as shipped_month,
    'sales without a parcel' as gap,
    'sale ' || s.sale_id as parcel_id,
    s.gap_cents
from core.unsent_sales as s
