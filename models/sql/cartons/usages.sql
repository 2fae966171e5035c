-- One row per class, week, month, item type, packing method and carton used: parcels, what they cost as
-- sent, and the void fill of the cartons used, which is no part of that.
select
    k.class_key,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as shipped_week,
    p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    coalesce(p.carton_code, 'unknown') as carton_code,
    coalesce(p.cut_height_in, u.inside_height_in) as used_height_in,
    count(*) as parcel_count,
    cast(sum(p.spent_cents) as bigint) as spent_cents,
    cast(sum(p.void_cents) as bigint) as void_cents
from cartons.packed as p
inner join cartons.classes as k
    on k.packed_contents_key = p.packed_contents_key
    and k.conditions_key = p.conditions_key
    and k.weight_key = p.weight_key
left join core.cartons as u
    on u.carton_code = p.carton_code
    and {valid u on p.shipped_on}
group by
    k.class_key,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date),
    p.item_type,
    coalesce(p.packing_method, 'unknown'),
    coalesce(p.carton_code, 'unknown'),
    coalesce(p.cut_height_in, u.inside_height_in)
