-- One row per price class: billed weight, base price and its discount. No price where the weight is beyond the prices.
with billed as (
    select
        c.price_class_key,
        c.surcharge_class_key,
        t.service_key,
        t.season_key,
        t.zone,
        t.beyond,
        t.size_class,
        t.fixed_cents,
        greatest(c.rated_weight_milli, t.minimum_weight_milli) as billed_weight_milli
    from rating.price_classes as c
    inner join rating.surcharge_class_totals as t on t.surcharge_class_key = c.surcharge_class_key
),

discounts as (
    select
        e.season_key,
        d.service_key,
        d.zone,
        d.share_millionths,
        d.minimum_charge_cents
    from shop.tariff_discounts as d
    inner join shop.tariff_services as s on s.service_key = d.service_key
    inner join shop.tariff_seasons as e
        on e.tariff_key = s.tariff_key and d.valid_from <= e.valid_from and d.valid_to >= e.valid_from
    where d.target_kind = 'base'
)

select
    b.price_class_key,
    b.surcharge_class_key,
    b.billed_weight_milli,
    b.fixed_cents,
    p.price_cents,
    -least(
        cast(floor((p.price_cents * coalesce(d.share_millionths, 0) + 500000) / 1000000) as bigint),
        greatest(p.price_cents - coalesce(d.minimum_charge_cents, 0), 0)
    ) as discount_cents,
    case
        when b.beyond is not null then b.beyond
        when p.price_cents is null then 'weight beyond the prices'
    end as lacking
from billed as b
left join shop.tariff_prices as p
    on p.service_key = b.service_key and p.zone = b.zone and p.size_class = b.size_class and p.weight_milli = b.billed_weight_milli
left join discounts as d on d.service_key = b.service_key and d.zone = b.zone and d.season_key = b.season_key
