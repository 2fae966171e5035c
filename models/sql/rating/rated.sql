-- One row per request: the tariff, what it measures and bills in its own units and in pounds, expected cents by kind.
select
    p.request_id,
    t.tariff_code, t.length_unit, t.weight_unit,
    z.longest_milli / 1000 as longest_side,
    z.second_milli / 1000 as second_side,
    z.shortest_milli / 1000 as shortest_side,
    z.length_plus_girth_milli / 1000 as length_plus_girth,
    z.volume_milli / 1000 as volume,
    z.dim_weight_milli / 1000 as dim_weight,
    k.rated_weight_milli / 1000 as rated_weight,
    b.billed_weight_milli / 1000 as billed_weight,
    z.dim_weight_milli / 1000 / t.weight_per_lb as dim_weight_lb,
    k.rated_weight_milli / 1000 / t.weight_per_lb as rated_weight_lb,
    b.billed_weight_milli / 1000 / t.weight_per_lb as billable_weight_lb,
    p.base_cents, p.surcharge_cents, p.fuel_cents, p.tax_cents, p.expected_cents, p.lacking
from rating.priced as p
inner join rating.request_keys as k on k.request_id = p.request_id
left join rating.lanes as l on l.lane_key = p.lane_key
left join shop.tariffs as t on t.tariff_key = l.tariff_key
left join rating.measures as z on z.size_key = k.size_key
left join rating.class_base_prices as b on b.price_class_key = p.price_class_key
