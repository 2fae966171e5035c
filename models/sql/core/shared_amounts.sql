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

{shared_out amounts of whole, whole_line, cost_kind to sale_id, line_number, parcel_id}

select
    s.parcel_id, s.sale_id, s.line_number, s.cost_kind,
    s.share_cents as amount_cents
from shares as s
