-- One row per class, week, month, item type, packing method and carton used: parcels and what they cost as sent.
select
    p.class_key,
    p.shipped_month,
    p.shipped_week,
    p.item_type,
    p.packing_method,
    p.carton_code,
    p.used_height_in,
    count(*) as parcel_count,
    cast(sum(p.spent_cents) as bigint) as spent_cents
from cartons.parcel_usages as p
group by
    p.class_key,
    p.shipped_month,
    p.shipped_week,
    p.item_type,
    p.packing_method,
    p.carton_code,
    p.used_height_in
