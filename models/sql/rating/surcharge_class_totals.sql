-- One row per surcharge class: what its surcharges come to before shares, and the least weight they bill.
-- `beyond` says what of the case the service does not carry; `size_class` is the size that its prices go by.
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
        min(l.beyond) as beyond
    from rating.surcharge_classes as c
    inner join shop.tariff_limits as l
        on l.service_key = c.service_key and (c.case_bits & l.looked_at) = l.mask
    group by c.surcharge_class_key
),

sized as (
    select
        c.surcharge_class_key,
        s.size_class,
        row_number() over (partition by c.surcharge_class_key order by s.class_number) as place
    from rating.surcharge_classes as c
    inner join shop.tariff_classes as s
        on s.service_key = c.service_key and (c.case_bits & s.looked_at) = s.mask
),

sized_services as (
    select distinct s.service_key
    from shop.tariff_classes as s
)

select
    c.surcharge_class_key,
    c.service_key,
    c.season_key,
    c.zone,
    coalesce(s.fixed_cents, 0) + coalesce(d.amount_cents, 0) as fixed_cents,
    coalesce(s.minimum_weight_milli, 0) as minimum_weight_milli,
    coalesce(z.size_class, '') as size_class,
    case
        when l.beyond is not null then l.beyond
        when v.service_key is not null and z.size_class is null then 'no size fits'
    end as beyond
from rating.surcharge_classes as c
left join charged as s on s.surcharge_class_key = c.surcharge_class_key
left join discounted as d on d.surcharge_class_key = c.surcharge_class_key
left join sized as z on z.surcharge_class_key = c.surcharge_class_key and z.place = 1
left join sized_services as v on v.service_key = c.service_key
left join limited as l on l.surcharge_class_key = c.surcharge_class_key
