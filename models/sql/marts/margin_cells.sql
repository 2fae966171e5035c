-- One row per month of shipping, item type, carrier, service, zone and channel: parcels and cents by kind.
-- A parcel counts with its own item type and channel, those of the line with the greatest chargeable weight; account
-- fees stand as item type `account` with no parcel. The sum of margin_cents is that of marts.parcel_costs.
select
    c.shipped_month, c.item_type, c.carrier,
    case when c.is_account then 'account fees' else coalesce(c.service, 'unknown') end as service,
    case when c.is_account then 'account fees' else coalesce(c.zone, 'unknown') end as zone,
    c.channel,
    case when c.is_account then 'account fees' else coalesce(z.zone_band, 'unknown') end as zone_band,
    count(case when not c.is_account then 1 end) as parcel_count,
    {each all: cast(sum(c.$_cents) as bigint) as $_cents}
from marts.parcel_costs as c
left join core.zone_bands as z on z.carrier = c.carrier and z.zone = coalesce(c.zone, 'unknown')
group by
    c.shipped_month, c.item_type, c.carrier,
    case when c.is_account then 'account fees' else coalesce(c.service, 'unknown') end,
    case when c.is_account then 'account fees' else coalesce(c.zone, 'unknown') end,
    case when c.is_account then 'account fees' else coalesce(z.zone_band, 'unknown') end,
    c.channel
