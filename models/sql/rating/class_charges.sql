-- One row per price class and charge line before fuel; lines of nothing are left out.
with lines as (
    select
        b.price_class_key,
        'base' as charge_kind,
        n.charge_name,
        cast(null as varchar) as charge_code,
        cast(null as bigint) as surcharge_key,
        cast(null as bigint) as alternative,
        case n.charge_name when 'base' then b.price_cents else b.discount_cents end as amount_cents
    from rating.class_base_prices as b
    cross join (
        {values charge_name in 'base', 'discount'}
    ) as n
    where b.lacking is null
    union all
    select
        b.price_class_key,
        'surcharge' as charge_kind,
        s.surcharge as charge_name,
        s.charge_code,
        c.surcharge_key, c.alternative,
        c.fixed_cents as amount_cents
    from rating.class_base_prices as b
    inner join rating.surcharge_class_charges as c on c.surcharge_class_key = b.surcharge_class_key
    inner join shop.tariff_surcharges as s on s.surcharge_key = c.surcharge_key
    where b.lacking is null and c.fixed_cents is not null
    union all
    select
        b.price_class_key,
        'surcharge' as charge_kind,
        'discount' as charge_name,
        cast(null as varchar) as charge_code,
        cast(null as bigint) as surcharge_key,
        cast(null as bigint) as alternative,
        c.discount_cents as amount_cents
    from rating.class_base_prices as b
    inner join rating.surcharge_class_charges as c on c.surcharge_class_key = b.surcharge_class_key
    where b.lacking is null and c.discount_cents is not null
    union all
    select
        h.price_class_key,
        'surcharge' as charge_kind,
        s.surcharge as charge_name,
        s.charge_code,
        h.surcharge_key, h.alternative, h.amount_cents
    from rating.class_percent_charges as h
    inner join shop.tariff_surcharges as s on s.surcharge_key = h.surcharge_key
)

select
    l.price_class_key,
    row_number() over (
        partition by l.price_class_key
        order by l.charge_kind, case when l.charge_name = 'discount' then 1 else 0 end, l.surcharge_key, l.amount_cents
    ) as line_number,
    l.charge_kind, l.charge_name, l.charge_code, l.surcharge_key, l.alternative, l.amount_cents
from lines as l
where l.amount_cents <> 0
