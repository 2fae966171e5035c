-- One row per parcel and sale line packed in it, with its share of what the buyer paid for the line.
with shares as (
    select
        s.parcel_id, s.sale_id, s.line_number,
        {each paid: cast(sum(case when s.cost_kind = '$' then s.amount_cents end) as bigint) as $_cents}
    from core.shared_amounts as s
    group by s.parcel_id, s.sale_id, s.line_number
)

select
    p.parcel_id, p.sale_id, p.line_number, p.item_type, p.channel, p.packed_quantity, p.is_content_known, p.cost_basis,
    {each paid: coalesce(s.$_cents, l.$_cents, 0) as $_cents}
from core.packed_lines as p
left join core.sale_lines as l on l.sale_id = p.sale_id and l.line_number = p.line_number
left join shares as s on s.parcel_id = p.parcel_id and s.sale_id = p.sale_id and s.line_number = p.line_number
