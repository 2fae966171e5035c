-- One row per parcel billed otherwise than expected whose prices are learned from bills: how far they may miss, added over
-- its own lane and the billed one; null where that is not known.
with lane_misses as (
    select
        p.service_key,
        p.zone,
        case when count(p.miss_cents) = count(*) then max(p.miss_cents) end as miss_cents
    from shop.tariff_prices as p
    group by p.service_key, p.zone
),

lanes as (
    select distinct
        b.parcel_id,
        l.tariff_key,
        l.service_key,
        l.priced_zone as zone
    from (
        select
            s.parcel_id,
            s.parcel_id || '/0' as request_id
        from core.billing_steps as s
        union
        select
            s.parcel_id,
            s.parcel_id || '/1' as request_id
        from core.billing_steps as s
    ) as b
    inner join rechecked.priced as p on p.request_id = b.request_id
    inner join rechecked.lanes as l on l.lane_key = p.lane_key
    inner join shop.tariffs as t on t.tariff_key = l.tariff_key and t.learned_first_on is not null
    where p.lacking is null
)

select
    n.parcel_id,
    max(n.tariff_key) as tariff_key,
    cast(case when count(m.miss_cents) = count(*) then sum(m.miss_cents) end as bigint) as miss_cents,
    max(f.fuel_share_millionths) as fuel_share_millionths
from lanes as n
inner join core.billed_fuel as f on f.parcel_id = n.parcel_id
left join lane_misses as m on m.service_key = n.service_key and m.zone = n.zone
group by n.parcel_id
