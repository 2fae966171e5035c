-- What buyers paid, were refunded and marketplaces took on the sale lines of parcels is in the parcels' costs, to the cent.
with lines as (
    select distinct p.sale_id, p.line_number
    from core.packed_lines as p
),

paid as (
    {union paid: select '$' as cost_kind, s.$_cents as amount_cents from core.sale_lines as s inner join lines as l on l.sale_id = s.sale_id and l.line_number = s.line_number}
),

kept as (
    {union paid: select '$' as cost_kind, c.$_cents as amount_cents from marts.parcel_costs as c}
),

sums as (
    select p.cost_kind, p.amount_cents as paid_cents, 0 as kept_cents from paid as p
    union all
    select k.cost_kind, 0 as paid_cents, k.amount_cents as kept_cents from kept as k
)

select
    s.cost_kind,
    {sums s.paid_cents, s.kept_cents}
from sums as s
group by s.cost_kind
having sum(s.paid_cents) <> sum(s.kept_cents)
