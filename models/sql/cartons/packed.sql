-- One row per parcel judged, with the void fill of its carton and the weights by which classes are told apart, as far as the shop
-- states them. `weight_key` is 0 where neither tare nor fill is; else parcels share it that hold the same goods, weigh
-- the same to a tenth of a pound, and have the same carton and fill to a hundredth.
with known as (
    select
        p.*,
        c.contents_key,
        e.tare_lb as used_tare_lb,
        greatest(
            0,
            (e.inside_length_in - v.void_clearance_in) * (e.inside_width_in - v.void_clearance_in)
            * (coalesce(p.cut_height_in, e.inside_height_in) - v.void_clearance_in) - v.filled_in3
        ) as void_in3
    from cartons.parcels as p
    inner join cartons.contents as c on c.packed_contents_key = p.packed_contents_key
    left join cartons.filled as v on v.contents_key = c.contents_key
    left join core.cartons as e on e.carton_code = p.carton_code and {valid e on p.shipped_on}
),

weighed as (
    select
        k.*,
        cast(round(coalesce(k.void_in3, 0) * f.cents_per_in3) as bigint) as void_cents,
        coalesce(k.void_in3, 0) * f.lb_per_in3 as used_void_lb,
        k.used_tare_lb is not null or f.lb_per_in3 > 0 as is_weighed
    from known as k
    cross join cartons.fill as f
)

select
    w.*,
    case
        when w.is_weighed then {key w.packed_contents_key, round(w.scale_weight_lb * 10), round(w.used_tare_lb * 100),
            round(w.used_void_lb * 100)}
        else 0
    end as weight_key
from weighed as w
