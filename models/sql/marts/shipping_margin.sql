-- One row per month of shipping; the change is against the month before in the records.
with summed as (
    select
        c.shipped_month,
        cast(sum(c.parcel_count) as bigint) as parcel_count,
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
    from marts.margin_cells as c
    group by c.shipped_month
)

select
    s.*,
    case
        when s.parcel_count > 0 then cast(round(cast(s.billed_cents as double) / s.parcel_count) as bigint)
    end as carriage_per_parcel_cents,
    case
        when s.parcel_count > 0 then cast(round(cast(s.margin_cents as double) / s.parcel_count) as bigint)
    end as margin_per_parcel_cents,
    s.margin_cents - lag(s.margin_cents) over (order by s.shipped_month) as margin_change_cents
from summed as s
