-- One row per parcel, and one per carrier and month for account fees: all cents by kind.
-- The sum of billed_cents is the sum of all accepted charge lines.
with charged as (
    select
        c.parcel_id,
        bool_or(c.is_account) as is_account,
        max(c.carrier) as carrier,
        min(c.invoice_month) as invoice_month,
        cast(sum(case when c.charge_kind = 'base' then c.amount_cents else 0 end) as bigint) as base_cents,
        cast(sum(case when c.charge_kind = 'fuel' then c.amount_cents else 0 end) as bigint) as fuel_cents,
        cast(sum(case when c.charge_kind = 'surcharge' then c.amount_cents else 0 end) as bigint) as surcharge_cents,
        cast(sum(case when c.charge_kind = 'adjustment' then c.amount_cents else 0 end) as bigint) as adjustment_cents,
        cast(sum(case when c.charge_kind = 'tax' then c.amount_cents else 0 end) as bigint) as tax_cents,
        cast(sum(case when c.charge_kind = 'credit' then c.amount_cents else 0 end) as bigint) as credit_cents,
        cast(sum(case when c.charge_kind = 'unmapped' then c.amount_cents else 0 end) as bigint) as unmapped_cents,
        cast(sum(c.amount_cents) as bigint) as billed_cents
    from core.charge_lines as c
    group by c.parcel_id
),

claimed as (
    select
        c.parcel_id,
        cast(sum(c.loss_cents) as bigint) as damage_net_cents
    from core.claims as c
    group by c.parcel_id
),

paid as (
    select
        l.parcel_id,
        cast(sum(l.shipping_charged_cents) as bigint) as shipping_charged_cents,
        cast(sum(l.allowance_cents) as bigint) as allowance_cents,
        cast(sum(l.fee_on_shipping_cents) as bigint) as fee_on_shipping_cents
    from core.parcel_lines as l
    group by l.parcel_id
),

costs as (
    select
        p.parcel_id,
        false as is_account,
        p.shipped_on,
        p.shipped_month,
        p.carrier,
        p.service,
        p.zone,
        p.item_type,
        p.channel,
        p.carton_code,
        p.packing_method,
        p.piece_count,
        coalesce(c.base_cents, 0) as base_cents,
        coalesce(c.fuel_cents, 0) as fuel_cents,
        coalesce(c.surcharge_cents, 0) as surcharge_cents,
        coalesce(c.adjustment_cents, 0) as adjustment_cents,
        coalesce(c.tax_cents, 0) as tax_cents,
        coalesce(c.credit_cents, 0) as credit_cents,
        coalesce(c.unmapped_cents, 0) as unmapped_cents,
        coalesce(c.billed_cents, 0) as billed_cents,
        p.carton_cents,
        p.material_cents,
        p.labour_cents,
        coalesce(d.damage_net_cents, 0) as damage_net_cents,
        coalesce(b.shipping_charged_cents, 0) as shipping_charged_cents,
        coalesce(b.allowance_cents, 0) as allowance_cents,
        coalesce(b.fee_on_shipping_cents, 0) as fee_on_shipping_cents
    from core.parcels as p
    left join charged as c on c.parcel_id = p.parcel_id
    left join claimed as d on d.parcel_id = p.parcel_id
    left join paid as b on b.parcel_id = p.parcel_id
    union all
    select
        c.parcel_id,
        true as is_account,
        cast(null as date) as shipped_on,
        c.invoice_month as shipped_month,
        c.carrier,
        null as service,
        null as zone,
        'account' as item_type,
        'account' as channel,
        null as carton_code,
        null as packing_method,
        0 as piece_count,
        c.base_cents,
        c.fuel_cents,
        c.surcharge_cents,
        c.adjustment_cents,
        c.tax_cents,
        c.credit_cents,
        c.unmapped_cents,
        c.billed_cents,
        0 as carton_cents,
        0 as material_cents,
        0 as labour_cents,
        0 as damage_net_cents,
        0 as shipping_charged_cents,
        0 as allowance_cents,
        0 as fee_on_shipping_cents
    from charged as c
    where c.is_account
)

select
    t.*,
    t.shipping_charged_cents + t.allowance_cents - t.fee_on_shipping_cents - t.billed_cents
    - t.carton_cents - t.material_cents - t.labour_cents - t.damage_net_cents as margin_cents
from costs as t
