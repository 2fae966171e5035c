-- One row per contents, shipping conditions and weights: such parcels cost the same in the same carton. Classes of one `trip_key` differ in
-- contents and shares of fuel and tax only. `lane_key` and `price_class_key` are those of some parcel that is rated as the class is.
with lanes as (
    select
        l.lane_class_key, l.fuel_share_millionths,
        coalesce(l.tax_share_millionths, 0) as tax_share_millionths,
        k.effective_from as catalogue_from,
        min(l.lane_key) as lane_key
    from rating.lanes as l
    left join core.carton_catalogues as k on {valid k on l.shipped_on}
    group by l.lane_class_key, l.fuel_share_millionths, coalesce(l.tax_share_millionths, 0), k.effective_from
),

cells as (
    select
        c.lane_class_key, c.is_home, c.place_key, c.declared_steps,
        min(c.price_class_key) as price_class_key
    from rating.price_classes as c
    group by c.lane_class_key, c.is_home, c.place_key, c.declared_steps
),

ways as (
    select
        w.*,
        l.lane_key,
        c.price_class_key
    from core.shipping_conditions as w
    inner join lanes as l
        on {alike l, w in lane_class_key, fuel_share_millionths, tax_share_millionths, catalogue_from?}
    inner join cells as c on {alike c, w in lane_class_key, is_home, place_key, declared_steps}
)

select
    row_number() over (order by n.packed_contents_key, n.conditions_key, n.weight_key) as class_key,
    dense_rank() over (order by w.price_class_key, w.scale_band, n.weight_key) as trip_key,
    c.contents_key,
    n.packed_contents_key, n.conditions_key, n.weight_key, n.scale_weight_lb, n.used_tare_lb, n.used_void_lb,
    w.lane_key, w.price_class_key, w.scale_band, w.catalogue_from,
    n.parcel_count
from cartons.counted as n
inner join ways as w on w.conditions_key = n.conditions_key
inner join cartons.contents as c on c.packed_contents_key = n.packed_contents_key
