-- One row per parcel judged: the usage that it belongs to, what it cost as sent, and the void fill of its carton.
select
    p.parcel_id,
    k.class_key,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as shipped_week,
    p.item_type,
    {or_unknown p.packing_method, p.carton_code},
    coalesce(r.today_code, p.carton_code, 'unknown') as today_code,
    coalesce(p.cut_height_in, u.inside_height_in) as used_height_in,
    p.spent_cents, p.void_cents
from cartons.packed as p
inner join cartons.classes as k on {alike k, p in packed_contents_key, conditions_key, weight_key}
left join core.renamed_cartons as r on r.carton_code = p.carton_code
left join core.cartons as u on u.carton_code = p.carton_code and {valid u on p.shipped_on}
