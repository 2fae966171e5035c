-- The parcels behind marts.billing_totals.
select d.shipped_month, d.carrier, d.difference_class, d.parcel_id, d.over_cents as amount_cents
from marts.billing_disputes as d
