-- One row per class, week, month, item type, packing method and carton used: parcels and what they cost as sent.
select
    k.class_key,
    c.shipped_month,
    cast(date_trunc('week', c.shipped_on) as date) as shipped_week,
    c.item_type,
    coalesce(c.packing_method, 'unknown') as packing_method,
    coalesce(c.carton_code, 'unknown') as carton_code,
    coalesce(c.cut_height_in, u.inside_height_in) as used_height_in,
    count(*) as parcel_count,
    cast(sum(p.spent_cents) as bigint) as spent_cents
from cartons.parcels as p
inner join cartons.classes as k on k.goods_key = p.goods_key and k.way_key = p.way_key
inner join cartons.recent as c on c.parcel_id = p.parcel_id
left join core.cartons as u
    on u.carton_code = c.carton_code
    and c.shipped_on >= u.effective_from
    and (u.effective_before is null or c.shipped_on < u.effective_before)
group by
    k.class_key,
    c.shipped_month,
    cast(date_trunc('week', c.shipped_on) as date),
    c.item_type,
    coalesce(c.packing_method, 'unknown'),
    coalesce(c.carton_code, 'unknown'),
    coalesce(c.cut_height_in, u.inside_height_in)
