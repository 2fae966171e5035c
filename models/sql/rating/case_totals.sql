-- One row per case: what its surcharges come to before shares, and the least weight they bill.
-- `beyond` names a limit of the service that the case passes.
with charged as (
    select
        s.case_key,
        cast(sum(s.fixed_cents) as bigint) as fixed_cents,
        max(s.minimum_weight_milli) as minimum_weight_milli
    from rating.case_surcharges as s
    group by s.case_key
),

discounted as (
    select
        d.case_key,
        cast(sum(d.amount_cents) as bigint) as amount_cents
    from rating.case_discounts as d
    group by d.case_key
),

limited as (
    select
        c.case_key,
        min(l.measure) as beyond
    from rating.cases as c
    inner join shop.tariff_limits as l
        on l.service_key = c.service_key and (c.case_bits & l.condition_bit) = l.condition_bit
    group by c.case_key
)

select
    c.case_key,
    c.service_key,
    c.season_key,
    c.zone,
    coalesce(s.fixed_cents, 0) + coalesce(d.amount_cents, 0) as fixed_cents,
    coalesce(s.minimum_weight_milli, 0) as minimum_weight_milli,
    l.beyond
from rating.cases as c
left join charged as s on s.case_key = c.case_key
left join discounted as d on d.case_key = c.case_key
left join limited as l on l.case_key = c.case_key
