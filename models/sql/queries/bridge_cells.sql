-- One row per month, item type, carrier, service and zone band: what the margin bridge compares.
select
    m.shipped_month,
    m.item_type,
    m.carrier,
    m.service,
    m.zone_band,
    cast(sum(m.parcel_count) as bigint) as parcel_count,
    cast(sum(m.base_cents) as bigint) as base_cents,
    cast(sum(m.fuel_cents) as bigint) as fuel_cents,
    cast(sum(m.surcharge_cents) as bigint) as surcharge_cents,
    cast(sum(m.adjustment_cents) as bigint) as adjustment_cents,
    cast(sum(m.tax_cents) as bigint) as tax_cents,
    cast(sum(m.credit_cents) as bigint) as credit_cents,
    cast(sum(m.unmapped_cents) as bigint) as unmapped_cents,
    cast(sum(m.billed_cents) as bigint) as billed_cents,
    cast(sum(m.carton_cents) as bigint) as carton_cents,
    cast(sum(m.material_cents) as bigint) as material_cents,
    cast(sum(m.labour_cents) as bigint) as labour_cents,
    cast(sum(m.damage_net_cents) as bigint) as damage_net_cents,
    cast(sum(m.shipping_charged_cents) as bigint) as shipping_charged_cents,
    cast(sum(m.allowance_cents) as bigint) as allowance_cents,
    cast(sum(m.fee_on_shipping_cents) as bigint) as fee_on_shipping_cents,
    cast(sum(m.margin_cents) as bigint) as margin_cents
from marts.margin_cells as m
group by m.shipped_month, m.item_type, m.carrier, m.service, m.zone_band
order by m.shipped_month, m.item_type, m.carrier, m.service, m.zone_band
