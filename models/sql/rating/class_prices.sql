-- One row per price class: carriage after its discount and all surcharges, before fuel; null where something is lacking.
with shares as (
    select
        s.price_class_key,
        cast(sum(s.amount_cents) as bigint) as amount_cents
    from rating.class_percent_charges as s
    group by s.price_class_key
)

select
    c.price_class_key,
    c.lane_class_key,
    c.goods_bits,
    c.rated_weight_milli,
    c.is_home,
    c.place_key,
    c.declared_steps,
    b.billed_weight_milli,
    case when b.lacking is null then b.price_cents + b.discount_cents end as base_cents,
    case when b.lacking is null then b.fixed_cents + coalesce(s.amount_cents, 0) end as surcharge_cents,
    b.lacking
from rating.price_classes as c
inner join rating.class_base_prices as b on b.price_class_key = c.price_class_key
left join shares as s on s.price_class_key = c.price_class_key
