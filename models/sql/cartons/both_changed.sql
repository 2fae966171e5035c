-- One row per parcel whose carton changes and that an advised rule of services concerns: the parcel in that carton, whole or cut,
-- on that service; and carriage of the parcel as it was sent, on that service alone, and in that carton alone.
select
    row_number() over () as request_id,
    r.rule_key,
    c.change_key,
    t.carrier,
    o.service,
    z.zone,
    q.shipped_on,
    f.length_in, f.width_in, f.height_in, f.is_rectangular,
    {packed_lb q.scale_weight_lb from k to f with coalesce(v.void_lb, 0)} as scale_weight_lb,
    q.is_residential, q.destination_prefix, q.declared_value_cents,
    m.expected_cents as as_sent_cents,
    s.other_cents,
    c.price_cents - f.unit_cost_cents - f.cut_cents - coalesce(v.void_cents, 0) as in_carton_cents
from cartons.rules as r
inner join shop.tariffs as t on t.carrier = r.other_carrier
inner join shop.tariff_services as o on o.tariff_key = t.tariff_key and o.service = r.other_service
inner join analysis.parcel_services as s on s.other_service_key = o.service_key
inner join analysis.compared_parcels as m
    on m.parcel_number = s.parcel_number
    and (
        m.zone is not distinct from r.zone_low
        or try_cast(m.zone as bigint) between try_cast(r.zone_low as bigint) and try_cast(r.zone_high as bigint)
    )
inner join rating.requests as q on q.request_id = m.parcel_id and q.carrier = r.carrier and q.service = r.service
inner join cartons.parcel_usages as p on p.parcel_id = m.parcel_id and p.item_type = r.item_type
inner join cartons.changed as c
    on {alike c, p in class_key, shipped_month, shipped_week, item_type, packing_method, carton_code, used_height_in?}
inner join cartons.offers as f on f.option_key = c.option_key
inner join cartons.classes as k on k.class_key = c.class_key
left join cartons.pairs as v on v.contents_key = k.contents_key and v.option_key = c.option_key
left join core.charted_zones as z
    on z.tariff_key = o.tariff_key and z.service = o.service and z.destination_prefix = q.destination_prefix
where s.other_cents is not null
