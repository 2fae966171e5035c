-- One row per class, week, month, item type, packing method and carton used: parcels and what they cost as sent.
select
    k.class_key,
    p.shipped_month,
    p.shipped_week,
    p.item_type,
    p.packing_method,
    p.carton_code,
    p.used_height_in,
    count(*) as parcel_count,
    cast(sum(p.spent_cents) as bigint) as spent_cents
from cartons.parcels as p
inner join cartons.parcel_classes as k on k.parcel_id = p.parcel_id
group by
    k.class_key, p.shipped_month, p.shipped_week, p.item_type, p.packing_method, p.carton_code, p.used_height_in
