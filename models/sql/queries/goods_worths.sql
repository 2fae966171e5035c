-- One row per item type and month of shipping: parcels whose goods' worth is known, and that worth.
select
    p.item_type, p.shipped_month,
    count(*) as parcel_count,
    cast(sum(p.worth_cents) as bigint) as worth_cents
from core.insured_parcels as p
where p.worth_cents > 0
group by p.item_type, p.shipped_month
order by p.item_type, p.shipped_month
