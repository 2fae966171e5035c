-- One row per request: what the tariff with its terms expects of it; where prices are learned from bills also which price
-- that is, and how far the whole may be off where it is off by its 95 % interval.
select
    p.request_id, p.expected_cents,
    f.learned_first_on is not null as is_learned,
    l.service_key || '/' || l.priced_zone || '/' || cast(b.billed_weight_milli as varchar) as price_name,
    cast(i.interval_cents as double) * p.base_cents / nullif(i.price_cents, 0)
    * (1 + case when l.is_fuel_of_base then l.fuel_share_millionths else 0 end / 1000000.0) as within_cents
from whatif.priced as p
left join whatif.lanes as l on l.lane_key = p.lane_key
left join announced.tariffs as f on f.tariff_key = l.tariff_key
left join whatif.class_base_prices as b on b.price_class_key = p.price_class_key
left join announced.tariff_prices as i
    on i.service_key = l.service_key
    and i.zone = l.priced_zone
    and i.price_size = ''
    and i.weight_milli = b.billed_weight_milli
    and f.learned_first_on is not null
