-- One row per month of shipping, item type, carrier, service, zone and channel: parcels and cents by kind.
-- A parcel counts with its own item type and channel, those of the line with the greatest chargeable weight; account
-- fees stand as item type `account` with no parcel. The sum of margin_cents is that of marts.parcel_costs.
select
    c.shipped_month,
    c.item_type,
    c.carrier,
    case when c.is_account then 'account' else coalesce(c.service, 'unknown') end as service,
    case when c.is_account then 'account' else coalesce(c.zone, 'unknown') end as zone,
    case when c.is_account then 'account' else coalesce(z.zone_band, 'unknown') end as zone_band,
    c.channel,
    count(case when not c.is_account then 1 end) as parcel_count,
    cast(sum(c.base_cents) as bigint) as base_cents,
    cast(sum(c.fuel_cents) as bigint) as fuel_cents,
    cast(sum(c.surcharge_cents) as bigint) as surcharge_cents,
    cast(sum(c.adjustment_cents) as bigint) as adjustment_cents,
    cast(sum(c.tax_cents) as bigint) as tax_cents,
    cast(sum(c.credit_cents) as bigint) as credit_cents,
    cast(sum(c.unmapped_cents) as bigint) as unmapped_cents,
    cast(sum(c.billed_cents) as bigint) as billed_cents,
    cast(sum(c.carton_cents) as bigint) as carton_cents,
    cast(sum(c.material_cents) as bigint) as material_cents,
    cast(sum(c.labour_cents) as bigint) as labour_cents,
    cast(sum(c.damage_net_cents) as bigint) as damage_net_cents,
    cast(sum(c.shipping_charged_cents) as bigint) as shipping_charged_cents,
    cast(sum(c.allowance_cents) as bigint) as allowance_cents,
    cast(sum(c.fee_on_shipping_cents) as bigint) as fee_on_shipping_cents,
    cast(sum(c.margin_cents) as bigint) as margin_cents
from marts.parcel_costs as c
left join core.zone_bands as z on z.carrier = c.carrier and z.zone = coalesce(c.zone, 'unknown')
group by
    c.shipped_month,
    c.item_type,
    c.carrier,
    case when c.is_account then 'account' else coalesce(c.service, 'unknown') end,
    case when c.is_account then 'account' else coalesce(c.zone, 'unknown') end,
    case when c.is_account then 'account' else coalesce(z.zone_band, 'unknown') end,
    c.channel
