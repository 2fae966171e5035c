-- One row per month of sale and state: sale lines, the shipping charged on them and refunded as the margin counts it, the
-- sales tax beside these, and the parcels in which they went all the same.
with sold as (
    select
        cast(date_trunc('month', s.sold_at) as date) as sold_month,
        s.sale_state,
        count(*) as line_count,
        {sums s.shipping_charged_cents, s.shipping_tax_cents, s.shipping_refunded_cents}
    from core.sale_lines as s
    group by cast(date_trunc('month', s.sold_at) as date), s.sale_state
),

sent as (
    select
        cast(date_trunc('month', s.sold_at) as date) as sold_month,
        s.sale_state,
        count(distinct p.parcel_id) as parcel_count
    from core.sale_lines as s
    inner join core.packed_lines as p on p.sale_id = s.sale_id and p.line_number = s.line_number
    group by cast(date_trunc('month', s.sold_at) as date), s.sale_state
)

select
    s.sold_month, s.sale_state, s.line_count,
    coalesce(n.parcel_count, 0) as parcel_count,
    s.shipping_charged_cents, s.shipping_tax_cents, s.shipping_refunded_cents
from sold as s
left join sent as n on n.sold_month = s.sold_month and n.sale_state = s.sale_state
