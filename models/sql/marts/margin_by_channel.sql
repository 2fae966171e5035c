-- One row per month of shipping and channel; account fees stand as `account`, with no parcel.
with summed as (
    select
        m.shipped_month,
        m.channel,
        cast(sum(m.parcel_count) as bigint) as parcel_count,
        cast(sum(m.shipping_charged_cents) as bigint) as shipping_charged_cents,
        cast(sum(m.allowance_cents) as bigint) as allowance_cents,
        cast(sum(m.fee_on_shipping_cents) as bigint) as fee_on_shipping_cents,
        cast(sum(m.billed_cents) as bigint) as billed_cents,
        cast(sum(m.surcharge_cents) as bigint) as surcharge_cents,
        cast(sum(m.adjustment_cents) as bigint) as adjustment_cents,
        cast(sum(m.carton_cents) as bigint) as carton_cents,
        cast(sum(m.material_cents) as bigint) as material_cents,
        cast(sum(m.labour_cents) as bigint) as labour_cents,
        cast(sum(m.damage_net_cents) as bigint) as damage_net_cents,
        cast(sum(m.margin_cents) as bigint) as margin_cents
    from marts.margin_cells as m
    group by m.shipped_month, m.channel
)

select
    s.*,
    case
        when s.parcel_count > 0 then cast(round(cast(s.billed_cents as double) / s.parcel_count) as bigint)
    end as carriage_per_parcel_cents,
    case
        when s.parcel_count > 0 then cast(round(cast(s.margin_cents as double) / s.parcel_count) as bigint)
    end as margin_per_parcel_cents
from summed as s
