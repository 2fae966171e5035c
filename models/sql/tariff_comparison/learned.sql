-- One row per request that a tariff with learned prices rates: how far its base price may be off where the learned one is
-- off by its 95 % interval, and the share of fuel that follows the base.
select
    q.request_id,
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
where f.learned_first_on is not null
