-- One row per cause that raised a parcel's bill: what it came to, what speaks for it, what became of it, and whether it
-- can be disputed. Days are reckoned from the last day that the records know.
with {today weights, charges, claims},

marks as (
    select
        m.*,
        row_number() over (partition by m.dispute_id order by m.marked_at desc, m.dispute_state) as place
    from shop.disputes as m
)

select
    c.dispute_id, c.parcel_id, c.difference_class, c.carrier, c.service, c.item_type, c.carton_code, c.shipped_on,
    c.shipped_month, c.invoice_number, c.line_number, c.invoiced_on, c.corrected_invoice_number,
    c.corrected_line_number, c.charge_name, c.over_cents, c.credited_cents,
    coalesce(m.dispute_state, 'open') as dispute_state,
    m.recovered_cents,
    cast(m.marked_at as date) as marked_on,
    greatest(c.over_cents - greatest(c.credited_cents, coalesce(m.recovered_cents, 0)), 0) as outstanding_cents,
    c.own_evidence, c.billed_evidence, c.last_dispute_on,
    c.difference_class not in ('fixed fee', 'rounding')
    and coalesce(m.dispute_state, 'open') = 'open'
    and c.over_cents > c.credited_cents
    and coalesce(c.last_dispute_on >= t.as_of, true) as is_disputable
from core.billing_causes as c
cross join today as t
left join marks as m on m.dispute_id = c.dispute_id and m.place = 1
