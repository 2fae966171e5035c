-- One row per parcel and sale line: its share of the parcel's costs, by the line's own chargeable weight and largest
-- remainder, so that shares add up to the cent. A parcel without a known sale keeps one row, line 0 of sale `unknown`.
with shares as (
    select
        s.parcel_id, s.sale_id, s.line_number,
        {each costs: cast(sum(case when s.cost_kind = '$' then s.amount_cents end) as bigint) as $_cents}
    from core.shared_amounts as s
    group by s.parcel_id, s.sale_id, s.line_number
),

lines as (
    select
        c.parcel_id,
        coalesce(l.sale_id, 'unknown') as sale_id,
        coalesce(l.line_number, 0) as line_number,
        c.shipped_month,
        coalesce(l.item_type, c.item_type) as item_type,
        coalesce(l.channel, c.channel) as channel,
        coalesce(l.packed_quantity, 0) as packed_quantity,
        coalesce(l.is_content_known, true) as is_content_known,
        {each charges: coalesce(s.$_cents, c.$_cents) as $_cents},
        {sum charges: coalesce(s.$_cents, c.$_cents)} as billed_cents,
        {each own: coalesce(s.$_cents, c.$_cents) as $_cents},
        {each paid: coalesce(l.$_cents, 0) as $_cents}
    from marts.parcel_costs as c
    left join core.parcel_lines as l on l.parcel_id = c.parcel_id
    left join shares as s on s.parcel_id = l.parcel_id and s.sale_id = l.sale_id and s.line_number = l.line_number
)

select
    l.*,
    {sum income: l.$_cents} - ({sum outlays: l.$_cents}) as margin_cents
from lines as l
