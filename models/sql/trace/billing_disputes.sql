-- The parcels behind marts.billing_disputes.
select d.shipped_month, d.carrier, d.difference_class, d.dispute_id, d.parcel_id, d.over_cents as amount_cents
from marts.billing_disputes as d
