-- One row per month of shipping and item type: parcels with a quoted label and a base charge, what was quoted and what was
-- billed for them with all surcharges and corrections.
select
    q.shipped_month, q.item_type,
    count(*) as parcel_count,
    {sums q.quoted_cents, q.billed_cents, q.above_quote_cents},
    count(case when q.above_quote_cents > 0 then 1 end) as above_quote_count,
    count(case when q.is_heavier then 1 end) as heavier_count,
    count(case when q.is_larger then 1 end) as larger_count
from core.quoted_parcels as q
group by q.shipped_month, q.item_type
