-- One row per cause that raised the parcel's bill.
select d.*
from marts.billing_disputes as d
where d.parcel_id = ?
order by d.over_cents desc, d.dispute_id
