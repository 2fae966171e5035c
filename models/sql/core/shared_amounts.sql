-- One row per parcel, sale line and kind of money that is shared: its cents. What the buyer paid for a line in several
-- parcels is shared by pieces, what a parcel of several lines cost by the lines' own chargeable weight; both by largest
-- remainder: each share is rounded down, and the cents left over go one each to the largest remainders.
with paid as (
    {union paid: select s.sale_id, s.line_number, '$' as cost_kind, s.$_cents as amount_cents from core.sale_lines as s}
),

amounts as (
    select
        a.parcel_id as whole,
        0 as whole_line,
        l.parcel_id, l.sale_id, l.line_number,
        a.cost_kind, a.amount_cents,
        l.cost_basis as cost_basis
    from core.parcels as p
    inner join core.packed_lines as l on l.parcel_id = p.parcel_id
    inner join core.parcel_amounts as a on a.parcel_id = p.parcel_id
    where p.line_count > 1
    union all
    select
        a.sale_id as whole,
        a.line_number as whole_line,
        l.parcel_id, l.sale_id, l.line_number,
        a.cost_kind, a.amount_cents,
        l.paid_basis as cost_basis
    from core.packed_lines as l
    inner join paid as a on a.sale_id = l.sale_id and a.line_number = l.line_number
    where l.parcel_count > 1 and a.amount_cents <> 0
),

totals as (
    select
        a.*,
        cast(sum(a.cost_basis) over (partition by a.whole, a.whole_line, a.cost_kind) as bigint) as total
    from amounts as a
),

floors as (
    select
        t.*,
        cast(floor(cast(t.amount_cents * t.cost_basis as double) / t.total) as bigint) as floor_cents
    from totals as t
),

ranked as (
    select
        f.*,
        f.amount_cents
        - cast(sum(f.floor_cents) over (partition by f.whole, f.whole_line, f.cost_kind) as bigint) as left_over,
        row_number() over (
            partition by f.whole, f.whole_line, f.cost_kind
            order by f.amount_cents * f.cost_basis - f.floor_cents * f.total desc, f.sale_id, f.line_number, f.parcel_id
        ) as place
    from floors as f
)

select
    r.parcel_id, r.sale_id, r.line_number, r.cost_kind,
    r.floor_cents + case when r.place <= r.left_over then 1 else 0 end as amount_cents
from ranked as r
