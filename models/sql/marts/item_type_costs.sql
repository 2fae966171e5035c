-- One row per month of shipping and item type; account fees stand as item type `account`.
with summed as (
    select
        l.shipped_month,
        l.item_type,
        count(distinct case when l.item_type <> 'account' then l.parcel_id end) as parcel_count,
        cast(sum(l.packed_quantity) as bigint) as piece_count,
        cast(sum(l.base_cents) as bigint) as base_cents,
        cast(sum(l.fuel_cents) as bigint) as fuel_cents,
        cast(sum(l.surcharge_cents) as bigint) as surcharge_cents,
        cast(sum(l.adjustment_cents) as bigint) as adjustment_cents,
        cast(sum(l.tax_cents) as bigint) as tax_cents,
        cast(sum(l.credit_cents) as bigint) as credit_cents,
        cast(sum(l.unmapped_cents) as bigint) as unmapped_cents,
        cast(sum(l.billed_cents) as bigint) as billed_cents,
        cast(sum(l.carton_cents) as bigint) as carton_cents,
        cast(sum(l.material_cents) as bigint) as material_cents,
        cast(sum(l.labour_cents) as bigint) as labour_cents,
        cast(sum(l.damage_net_cents) as bigint) as damage_net_cents,
        cast(sum(l.shipping_charged_cents) as bigint) as shipping_charged_cents,
        cast(sum(l.allowance_cents) as bigint) as allowance_cents,
        cast(sum(l.fee_on_shipping_cents) as bigint) as fee_on_shipping_cents,
        cast(sum(l.margin_cents) as bigint) as margin_cents
    from marts.parcel_line_costs as l
    group by l.shipped_month, l.item_type
)

select
    s.*,
    case
        when s.piece_count > 0 then cast(
            round(
                cast(s.billed_cents + s.carton_cents + s.material_cents + s.labour_cents + s.damage_net_cents as double)
                / s.piece_count
            ) as bigint
        )
    end as cost_per_piece_cents,
    case
        when s.parcel_count > 0 then cast(round(cast(s.margin_cents as double) / s.parcel_count) as bigint)
    end as margin_per_parcel_cents
from summed as s
