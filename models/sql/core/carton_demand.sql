-- One row per parcel, as the choice of cartons sees it: what it held, what decides its price beside its sides, the carton
-- it went in, and what carriage and carton cost. Goods or way are unknown where the records or the tariff do not say.
with sent as (
    select
        q.request_id,
        w.conditions_key,
        q.expected_cents
    from rating.priced as q
    inner join rating.lanes as l on l.lane_key = q.lane_key
    inner join rating.price_classes as c on c.price_class_key = q.price_class_key
    left join core.carton_catalogues as k on {valid k on l.shipped_on}
    inner join core.shipping_conditions as w
        on w.lane_class_key = l.lane_class_key
        and {alike w, c in is_home, place_key, declared_steps}
        and w.scale_band = q.scale_band
        and w.fuel_share_millionths = l.fuel_share_millionths
        and w.tax_share_millionths = coalesce(l.tax_share_millionths, 0)
        and w.catalogue_from is not distinct from k.effective_from
    where q.expected_cents is not null
),

held as (
    select
        p.parcel_id,
        g.packed_contents_key
    from core.parcel_goods as p
    inner join core.packed_contents as g
        on {alike g, p in goods?, clearance_in?, bound_length_in?, bound_width_in?, bound_height_in?}
)

select
    p.parcel_id, p.shipped_on, p.shipped_month, p.item_type, p.packing_method, p.carton_code, p.cut_height_in,
    p.piece_count, p.is_rectangular,
    r.sides_source, r.length_in, r.width_in, r.height_in,
    p.scale_weight_lb,
    h.packed_contents_key,
    s.conditions_key,
    s.expected_cents + p.carton_cents as spent_cents
from core.parcels as p
inner join rating.requests as r on r.request_id = p.parcel_id
left join held as h on h.parcel_id = p.parcel_id
left join sent as s on s.request_id = p.parcel_id
