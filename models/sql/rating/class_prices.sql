-- One row per price class: carriage after its discount, all surcharges, and of both what fuel is taken on, before fuel;
-- null where something is lacking.
with fuelled_classes as (
    select distinct
        p.surcharge_class_key,
        n.surcharge
    from rating.price_classes as p
    inner join shop.tariff_fuel_bases as n on n.fuel_basis_key = p.fuel_basis_key
),

shares as (
    select
        s.price_class_key,
        cast(sum(s.amount_cents) as bigint) as amount_cents
    from rating.class_percent_charges as s
    group by s.price_class_key
),

fuelled_fixed as (
    select
        f.surcharge_class_key,
        cast(sum(f.fixed_cents + coalesce(f.discount_cents, 0)) as bigint) as amount_cents
    from rating.surcharge_class_charges as f
    inner join shop.tariff_surcharges as s on s.surcharge_key = f.surcharge_key
    inner join fuelled_classes as n on n.surcharge_class_key = f.surcharge_class_key and n.surcharge = s.surcharge
    group by f.surcharge_class_key
),

fuelled_shares as (
    select
        h.price_class_key,
        cast(sum(h.amount_cents) as bigint) as amount_cents
    from rating.class_percent_charges as h
    inner join shop.tariff_surcharges as s on s.surcharge_key = h.surcharge_key
    inner join rating.price_classes as p on p.price_class_key = h.price_class_key
    inner join shop.tariff_fuel_bases as n on n.fuel_basis_key = p.fuel_basis_key and n.surcharge = s.surcharge
    group by h.price_class_key
),

fuelled as (
    select
        b.price_class_key,
        case when n.fuel_basis_key is not null then b.price_cents + b.discount_cents else 0 end
        + coalesce(f.amount_cents, 0) + coalesce(h.amount_cents, 0) as fuelled_cents,
        t.rounding_cents, t.rounding_bias
    from rating.class_base_prices as b
    inner join rating.price_classes as c on c.price_class_key = b.price_class_key
    inner join shop.tariffs as t on t.tariff_key = c.tariff_key
    left join shop.tariff_fuel_bases as n on n.fuel_basis_key = c.fuel_basis_key and n.surcharge = ''
    left join fuelled_fixed as f on f.surcharge_class_key = b.surcharge_class_key
    left join fuelled_shares as h on h.price_class_key = b.price_class_key
    where b.lacking is null
)

select
    c.price_class_key, c.lane_class_key, c.goods_bits, c.rated_weight_milli, c.missing_weight_milli, c.is_home,
    c.place_key, c.declared_steps,
    b.billed_weight_milli,
    case when b.lacking is null then b.price_cents + b.discount_cents end as base_cents,
    case when b.lacking is null then b.fixed_cents + coalesce(s.amount_cents, 0) end as surcharge_cents,
    f.fuelled_cents, f.rounding_cents, f.rounding_bias,
    b.lacking
from rating.price_classes as c
inner join rating.class_base_prices as b on b.price_class_key = c.price_class_key
left join shares as s on s.price_class_key = c.price_class_key
left join fuelled as f on f.price_class_key = c.price_class_key
