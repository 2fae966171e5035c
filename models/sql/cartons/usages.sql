-- One row per class, week, month, item type, packing method and carton used: parcels, what they cost as
-- sent, and the void fill of the cartons used, which is no part of that.
select
    p.class_key, p.shipped_month, p.shipped_week, p.item_type, p.packing_method, p.carton_code, p.today_code,
    p.used_height_in,
    count(*) as parcel_count,
    cast(sum(p.spent_cents) as bigint) as spent_cents,
    cast(sum(p.void_cents) as bigint) as void_cents
from cartons.parcel_usages as p
group by
    p.class_key, p.shipped_month, p.shipped_week, p.item_type, p.packing_method, p.carton_code, p.today_code,
    p.used_height_in
