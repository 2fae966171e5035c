-- One row per request: expected cents by kind; null, with what is lacking, where the tariff cannot say.
-- Tax is what the shop bears of it: nothing where it gets it back, and less than nothing where that stands in the prices.
with joined as (
    select
        k.request_id, k.lane_key, k.scale_band,
        p.price_class_key, p.base_cents, p.surcharge_cents,
        case when p.base_cents is not null then {amount p.fuelled_cents * k.fuel_share_millionths by p.} end as fuel_cents,
        x.tax_share_millionths, x.tax_rounding_cents, x.tax_rounding_bias, x.is_tax_in_prices, x.is_tax_reclaimable,
        case
            when p.price_class_key is not null then p.lacking
            when l.lacking is not null then l.lacking
            when k.size_key is null then 'sides unknown'
            else 'weight unknown'
        end as lacking
    from rating.request_keys as k
    left join rating.lanes as l on l.lane_key = k.lane_key and l.lacking is not null
    left join rating.lanes as x on x.lane_key = k.lane_key and x.tax_share_millionths is not null
    left join rating.class_prices as p
        on {alike p, k in lane_class_key, goods_bits, rated_weight_milli, missing_weight_milli, is_home, place_key,
            declared_steps}
),

taxed as (
    select
        j.*,
        case
            when j.base_cents is null then null
            when j.tax_share_millionths is null then 0
            else {tax j.base_cents + j.surcharge_cents + j.fuel_cents in j}
        end as tax_cents
    from joined as j
)

select
    t.request_id, t.lane_key, t.price_class_key, t.scale_band, t.base_cents, t.surcharge_cents, t.fuel_cents,
    t.tax_cents,
    t.base_cents + t.surcharge_cents + t.fuel_cents + t.tax_cents as expected_cents,
    t.lacking
from taxed as t
