-- One row per price class: what its surcharges come to before shares, billed weight, base price and its discount.
-- No price where the weight is beyond the prices; `lacking` also says what of the case the service does not carry. Where
-- prices go by sizes, the first that the case fits counts.
with cases as (
    select distinct p.surcharge_class_key, p.service_key, p.case_bits
    from rating.price_classes as p
),

charged as (
    select
        s.surcharge_class_key,
        cast(sum(s.fixed_cents + coalesce(s.discount_cents, 0)) as bigint) as fixed_cents,
        max(s.minimum_weight_milli) as minimum_weight_milli
    from rating.surcharge_class_charges as s
    group by s.surcharge_class_key
),

limited as (
    select
        c.surcharge_class_key,
        min(l.beyond) as beyond
    from cases as c
    inner join shop.tariff_limits as l on l.service_key = c.service_key and (c.case_bits & l.decisive) = l.mask
    group by c.surcharge_class_key
),

sized as (
    select
        c.surcharge_class_key,
        s.price_size,
        row_number() over (partition by c.surcharge_class_key order by s.class_number) as place
    from cases as c
    inner join shop.tariff_classes as s on s.service_key = c.service_key and (c.case_bits & s.decisive) = s.mask
),

sized_services as (
    select distinct s.service_key
    from shop.tariff_classes as s
),

billed as (
    select
        c.price_class_key, c.surcharge_class_key, c.service_key, c.season_key, c.zone,
        coalesce(z.price_size, '') as price_size,
        case
            when l.beyond is not null then l.beyond
            when v.service_key is not null and z.price_size is null then 'no size fits'
        end as beyond,
        coalesce(s.fixed_cents, 0) as fixed_cents,
        greatest(c.rated_weight_milli, coalesce(s.minimum_weight_milli, 0)) as billed_weight_milli
    from rating.price_classes as c
    left join charged as s on s.surcharge_class_key = c.surcharge_class_key
    left join sized as z on z.surcharge_class_key = c.surcharge_class_key and z.place = 1
    left join sized_services as v on v.service_key = c.service_key
    left join limited as l on l.surcharge_class_key = c.surcharge_class_key
),

discounts as (
    select
        e.season_key,
        d.service_key, d.zone, d.above_milli, d.up_to_milli, d.share_millionths, d.minimum_charge_cents,
        d.rounding_cents, d.rounding_bias
    from shop.tariff_discounts as d
    inner join shop.tariff_services as s on s.service_key = d.service_key
    inner join shop.tariff_seasons as e on e.tariff_key = s.tariff_key and {counts d on e.valid_from}
    where d.target_kind = 'base'
)

select
    b.price_class_key, b.surcharge_class_key, b.billed_weight_milli, b.fixed_cents,
    p.price_cents,
    -coalesce(
        least({amount p.price_cents * d.share_millionths by d.}, greatest(p.price_cents - d.minimum_charge_cents, 0)),
        case when p.price_cents is not null then 0 end
    ) as discount_cents,
    case
        when b.beyond is not null then b.beyond
        when p.price_cents is null then 'weight beyond the prices'
    end as lacking
from billed as b
left join shop.tariff_prices as p
    on {alike p, b in service_key, zone, price_size}
    and p.weight_milli = b.billed_weight_milli
left join discounts as d
    on {alike d, b in service_key, zone, season_key}
    and (d.above_milli < b.billed_weight_milli or d.above_milli = 0)
    and d.up_to_milli >= b.billed_weight_milli
