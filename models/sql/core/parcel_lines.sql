-- One row per parcel and sale line packed in it.
-- What the buyer paid on a line that went out in several parcels is shared by pieces, by largest remainder: each share
-- is rounded down, and the cents left over go one each to the largest remainders.
with whole as (
    select
        p.sale_id,
        p.line_number,
        p.parcel_id,
        p.packed_quantity,
        cast(sum(p.packed_quantity) over (partition by p.sale_id, p.line_number) as bigint) as total,
        p.line_shipping_cents,
        p.line_allowance_cents,
        p.line_fee_cents
    from core.packed_lines as p
    where p.parcel_count > 1
),

amounts as (
    select sale_id, line_number, parcel_id, packed_quantity, total, 'shipping' as amount_kind,
        line_shipping_cents as amount_cents
    from whole
    union all
    select sale_id, line_number, parcel_id, packed_quantity, total, 'allowance' as amount_kind,
        line_allowance_cents as amount_cents
    from whole
    union all
    select sale_id, line_number, parcel_id, packed_quantity, total, 'fee' as amount_kind,
        line_fee_cents as amount_cents
    from whole
),

floors as (
    select
        a.*,
        cast(floor(cast(a.amount_cents * a.packed_quantity as double) / a.total) as bigint) as floor_cents
    from amounts as a
),

ranked as (
    select
        f.*,
        f.amount_cents
        - cast(sum(f.floor_cents) over (partition by f.sale_id, f.line_number, f.amount_kind) as bigint) as left_over,
        row_number() over (
            partition by f.sale_id, f.line_number, f.amount_kind
            order by f.amount_cents * f.packed_quantity - f.floor_cents * f.total desc, f.parcel_id
        ) as place
    from floors as f
),

shares as (
    select
        r.sale_id,
        r.line_number,
        r.parcel_id,
        cast(sum(case when r.amount_kind = 'shipping'
            then r.floor_cents + case when r.place <= r.left_over then 1 else 0 end else 0 end) as bigint)
            as shipping_charged_cents,
        cast(sum(case when r.amount_kind = 'allowance'
            then r.floor_cents + case when r.place <= r.left_over then 1 else 0 end else 0 end) as bigint)
            as allowance_cents,
        cast(sum(case when r.amount_kind = 'fee'
            then r.floor_cents + case when r.place <= r.left_over then 1 else 0 end else 0 end) as bigint)
            as fee_on_shipping_cents
    from ranked as r
    group by r.sale_id, r.line_number, r.parcel_id
)

select
    p.parcel_id,
    p.sale_id,
    p.line_number,
    p.item_type,
    p.channel,
    p.packed_quantity,
    p.cost_basis,
    case when p.parcel_count = 1 then p.line_shipping_cents else s.shipping_charged_cents end
        as shipping_charged_cents,
    case when p.parcel_count = 1 then p.line_allowance_cents else s.allowance_cents end as allowance_cents,
    case when p.parcel_count = 1 then p.line_fee_cents else s.fee_on_shipping_cents end as fee_on_shipping_cents
from core.packed_lines as p
left join shares as s
    on s.sale_id = p.sale_id and s.line_number = p.line_number and s.parcel_id = p.parcel_id
