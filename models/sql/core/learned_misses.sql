-- One row per parcel billed otherwise than expected whose prices are learned from bills: how far from the farthest of the
-- prices that it was checked by a bill is no evidence of an error, null where that is not known; and whether the tariff
-- knows a divisor and fuel.
with checked as (
    select
        s.parcel_id,
        n.step
    from core.billing_steps as s
    cross join (
        {values step in '/0', '/1', '/2', '/3'}
    ) as n
    group by s.parcel_id, n.step
),

prices as (
    select
        c.parcel_id,
        l.tariff_key,
        t.miss_cents,
        v.divisor is not null as has_divisor,
        u.service_key is not null as has_fuel
    from checked as c
    inner join rechecked.priced as p on p.request_id = c.parcel_id || c.step
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
    inner join shop.tariffs as f on f.tariff_key = l.tariff_key and f.learned_first_on is not null
    inner join shop.tariff_services as v on v.service_key = l.service_key
    inner join rechecked.class_base_prices as b on b.price_class_key = p.price_class_key
    left join (
        select distinct s.service_key
        from shop.tariff_fuel as s
    ) as u on u.service_key = l.service_key
    left join shop.tariff_prices as t
        on t.service_key = l.service_key
        and t.zone = l.priced_zone
        and t.weight_milli = b.billed_weight_milli
        and t.price_size = ''
    where p.lacking is null
)

select
    n.parcel_id,
    max(n.tariff_key) as tariff_key,
    case when count(n.miss_cents) = count(*) then max(n.miss_cents) end as miss_cents,
    bool_and(n.has_divisor) as has_divisor,
    bool_and(n.has_fuel) as has_fuel,
    max(f.fuel_share_millionths) as fuel_share_millionths
from prices as n
inner join core.billed_fuel as f on f.parcel_id = n.parcel_id
group by n.parcel_id
