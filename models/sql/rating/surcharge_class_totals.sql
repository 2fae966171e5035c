-- One row per surcharge class: what its surcharges come to before shares, and the least weight they bill.
-- `beyond` names a limit of the service that the case passes.
with charged as (
    select
        s.surcharge_class_key,
        cast(sum(s.fixed_cents) as bigint) as fixed_cents,
        max(s.minimum_weight_milli) as minimum_weight_milli
    from rating.surcharge_class_charges as s
    group by s.surcharge_class_key
),

discounted as (
    select
        d.surcharge_class_key,
        cast(sum(d.amount_cents) as bigint) as amount_cents
    from rating.surcharge_class_discounts as d
    group by d.surcharge_class_key
),

limited as (
    select
        c.surcharge_class_key,
        min(l.measure) as beyond
    from rating.surcharge_classes as c
    inner join shop.tariff_limits as l
        on l.service_key = c.service_key and (c.case_bits & l.condition_bit) = l.condition_bit
    group by c.surcharge_class_key
)

select
    c.surcharge_class_key,
    c.service_key,
    c.season_key,
    c.zone,
    coalesce(s.fixed_cents, 0) + coalesce(d.amount_cents, 0) as fixed_cents,
    coalesce(s.minimum_weight_milli, 0) as minimum_weight_milli,
    l.beyond
from rating.surcharge_classes as c
left join charged as s on s.surcharge_class_key = c.surcharge_class_key
left join discounted as d on d.surcharge_class_key = c.surcharge_class_key
left join limited as l on l.surcharge_class_key = c.surcharge_class_key
