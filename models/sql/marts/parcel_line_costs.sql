-- One row per parcel and sale line: its share of the parcel's costs, by the line's own chargeable weight and largest
-- remainder, so that shares add up to the cent. A parcel without a known sale keeps one row, line 0 of sale `unknown`.
with numbered as (
    select
        l.*,
        count(*) over (partition by l.parcel_id) as line_count,
        cast(sum(l.cost_basis) over (partition by l.parcel_id) as bigint) as total
    from core.parcel_lines as l
),

amounts as (
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'base_cents' as cost_kind, c.base_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'fuel_cents' as cost_kind, c.fuel_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'surcharge_cents' as cost_kind, c.surcharge_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'adjustment_cents' as cost_kind, c.adjustment_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'tax_cents' as cost_kind, c.tax_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'credit_cents' as cost_kind, c.credit_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'unmapped_cents' as cost_kind, c.unmapped_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'carton_cents' as cost_kind, c.carton_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'material_cents' as cost_kind, c.material_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'labour_cents' as cost_kind, c.labour_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
    union all
    select n.parcel_id, n.sale_id, n.line_number, n.cost_basis, n.total, 'damage_net_cents' as cost_kind, c.damage_net_cents as amount_cents
    from numbered as n
    inner join marts.parcel_costs as c on c.parcel_id = n.parcel_id
    where n.line_count > 1
),

floors as (
    select
        a.*,
        cast(floor(cast(a.amount_cents * a.cost_basis as double) / a.total) as bigint) as floor_cents
    from amounts as a
),

ranked as (
    select
        f.*,
        f.amount_cents - cast(sum(f.floor_cents) over (partition by f.parcel_id, f.cost_kind) as bigint) as left_over,
        row_number() over (
            partition by f.parcel_id, f.cost_kind
            order by f.amount_cents * f.cost_basis - f.floor_cents * f.total desc, f.sale_id, f.line_number
        ) as place
    from floors as f
),

shared as (
    select
        r.parcel_id,
        r.sale_id,
        r.line_number,
        r.cost_kind,
        r.floor_cents + case when r.place <= r.left_over then 1 else 0 end as share_cents
    from ranked as r
),

shares as (
    select
        s.parcel_id,
        s.sale_id,
        s.line_number,
        cast(sum(case when s.cost_kind = 'base_cents' then s.share_cents else 0 end) as bigint) as base_cents,
        cast(sum(case when s.cost_kind = 'fuel_cents' then s.share_cents else 0 end) as bigint) as fuel_cents,
        cast(sum(case when s.cost_kind = 'surcharge_cents' then s.share_cents else 0 end) as bigint) as surcharge_cents,
        cast(sum(case when s.cost_kind = 'adjustment_cents' then s.share_cents else 0 end) as bigint) as adjustment_cents,
        cast(sum(case when s.cost_kind = 'tax_cents' then s.share_cents else 0 end) as bigint) as tax_cents,
        cast(sum(case when s.cost_kind = 'credit_cents' then s.share_cents else 0 end) as bigint) as credit_cents,
        cast(sum(case when s.cost_kind = 'unmapped_cents' then s.share_cents else 0 end) as bigint) as unmapped_cents,
        cast(sum(case when s.cost_kind = 'carton_cents' then s.share_cents else 0 end) as bigint) as carton_cents,
        cast(sum(case when s.cost_kind = 'material_cents' then s.share_cents else 0 end) as bigint) as material_cents,
        cast(sum(case when s.cost_kind = 'labour_cents' then s.share_cents else 0 end) as bigint) as labour_cents,
        cast(sum(case when s.cost_kind = 'damage_net_cents' then s.share_cents else 0 end) as bigint) as damage_net_cents
    from shared as s
    group by s.parcel_id, s.sale_id, s.line_number
),

lines as (
    select
        c.parcel_id,
        coalesce(n.sale_id, 'unknown') as sale_id,
        coalesce(n.line_number, 0) as line_number,
        c.shipped_month,
        coalesce(n.item_type, c.item_type) as item_type,
        coalesce(n.channel, c.channel) as channel,
        coalesce(n.packed_quantity, 0) as packed_quantity,
        coalesce(s.base_cents, c.base_cents) as base_cents,
        coalesce(s.fuel_cents, c.fuel_cents) as fuel_cents,
        coalesce(s.surcharge_cents, c.surcharge_cents) as surcharge_cents,
        coalesce(s.adjustment_cents, c.adjustment_cents) as adjustment_cents,
        coalesce(s.tax_cents, c.tax_cents) as tax_cents,
        coalesce(s.credit_cents, c.credit_cents) as credit_cents,
        coalesce(s.unmapped_cents, c.unmapped_cents) as unmapped_cents,
        coalesce(s.base_cents, c.base_cents)
        + coalesce(s.fuel_cents, c.fuel_cents)
        + coalesce(s.surcharge_cents, c.surcharge_cents)
        + coalesce(s.adjustment_cents, c.adjustment_cents)
        + coalesce(s.tax_cents, c.tax_cents)
        + coalesce(s.credit_cents, c.credit_cents)
        + coalesce(s.unmapped_cents, c.unmapped_cents) as billed_cents,
        coalesce(s.carton_cents, c.carton_cents) as carton_cents,
        coalesce(s.material_cents, c.material_cents) as material_cents,
        coalesce(s.labour_cents, c.labour_cents) as labour_cents,
        coalesce(s.damage_net_cents, c.damage_net_cents) as damage_net_cents,
        coalesce(n.shipping_charged_cents, 0) as shipping_charged_cents,
        coalesce(n.allowance_cents, 0) as allowance_cents,
        coalesce(n.fee_on_shipping_cents, 0) as fee_on_shipping_cents
    from marts.parcel_costs as c
    left join numbered as n on n.parcel_id = c.parcel_id
    left join shares as s
        on s.parcel_id = n.parcel_id and s.sale_id = n.sale_id and s.line_number = n.line_number
)

select
    l.*,
    l.shipping_charged_cents + l.allowance_cents - l.fee_on_shipping_cents - l.billed_cents
    - l.carton_cents - l.material_cents - l.labour_cents - l.damage_net_cents as margin_cents
from lines as l
