-- One row per parcel looked back on: what the tariff of its day and the announced one expect of it, and how far the change
-- may be off where learned prices are off by their 95 % intervals: those of both tariffs add up. Fuel follows its base.
with before as (
    select
        q.request_id,
        f.learned_first_on is not null as is_learned,
        cast(i.interval_cents as double) * o.base_cents / nullif(i.price_cents, 0) as within_cents,
        case when n.is_fuel_of_base then n.fuel_share_millionths else 0 end / 1000000.0 as fuel_share
    from rating.priced as q
    inner join rating.rated as o on o.request_id = q.request_id
    inner join rating.lanes as n on n.lane_key = q.lane_key
    inner join shop.tariffs as f on f.tariff_key = n.tariff_key
    left join shop.tariff_prices as i
        on i.service_key = n.service_key
        and i.zone = n.priced_zone
        and i.price_size = ''
        and i.weight_milli = cast(round(o.billed_weight * 1000) as bigint)
        and f.learned_first_on is not null
),

after as (
    select
        q.request_id,
        f.learned_first_on is not null as is_learned,
        cast(i.interval_cents as double) * o.base_cents / nullif(i.price_cents, 0) as within_cents,
        case when n.is_fuel_of_base then n.fuel_share_millionths else 0 end / 1000000.0 as fuel_share
    from whatif.priced as q
    inner join whatif.rated as o on o.request_id = q.request_id
    inner join whatif.lanes as n on n.lane_key = q.lane_key
    inner join announced.tariffs as f on f.tariff_key = n.tariff_key
    left join announced.tariff_prices as i
        on i.service_key = n.service_key
        and i.zone = n.priced_zone
        and i.price_size = ''
        and i.weight_milli = cast(round(o.billed_weight * 1000) as bigint)
        and f.learned_first_on is not null
)

select
    n.request_id as parcel_id,
    p.item_type,
    coalesce(r.zone, 'unknown') as zone,
    o.expected_cents as before_cents,
    n.expected_cents as after_cents,
    o.expected_cents is not null and n.expected_cents is not null as is_compared,
    o.lacking as lacking_before,
    n.lacking as lacking_after,
    coalesce(b.is_learned, false) or coalesce(a.is_learned, false) as is_learned,
    case when coalesce(b.is_learned, false) then b.within_cents else 0 end
    + case when coalesce(a.is_learned, false) then a.within_cents else 0 end as base_within_cents,
    case when coalesce(b.is_learned, false) then b.within_cents * b.fuel_share else 0 end
    + case when coalesce(a.is_learned, false) then a.within_cents * a.fuel_share else 0 end as fuel_within_cents
from whatif.rated as n
inner join rating.requests as r on r.request_id = n.request_id
inner join rating.rated as o on o.request_id = n.request_id
inner join core.parcels as p on p.parcel_id = n.request_id
left join before as b on b.request_id = n.request_id
left join after as a on a.request_id = n.request_id
