-- One row per request: expected cents by kind; null, with what is lacking, where the tariff cannot say.
with joined as (
    select
        k.request_id,
        k.lane_key,
        k.scale_band,
        p.price_class_key,
        p.base_cents,
        p.surcharge_cents,
        cast(
            floor(
                (
                    (
                        case when l.is_fuel_of_base then p.base_cents else 0 end
                        + case when l.is_fuel_of_surcharge then p.surcharge_cents else 0 end
                    ) * l.fuel_share_millionths
                    + 500000
                ) / 1000000
            ) as bigint
        ) as fuel_cents,
        case
            when p.price_class_key is not null then p.lacking
            when l.lacking is not null then l.lacking
            when k.size_key is null then 'sides unknown'
            else 'weight unknown'
        end as lacking
    from rating.request_keys as k
    left join rating.lanes as l on l.lane_key = k.lane_key
    left join rating.class_prices as p
        on p.lane_class_key = k.lane_class_key
        and p.goods_bits = k.goods_bits
        and p.rated_weight_milli = k.rated_weight_milli
        and p.is_home = k.is_home
        and p.place_key = k.place_key
        and p.declared_steps = k.declared_steps
)

select
    j.request_id,
    j.lane_key,
    j.price_class_key,
    j.scale_band,
    j.base_cents,
    j.surcharge_cents,
    case when j.base_cents is not null then j.fuel_cents end as fuel_cents,
    j.base_cents + j.surcharge_cents + case when j.base_cents is not null then j.fuel_cents end as expected_cents,
    j.lacking
from joined as j
