-- One row per sale line in the parcel: what one piece was sold for and cost, and what of the line's money is the parcel's.
select
    l.sale_id, l.line_number, l.item_type, l.packed_quantity,
    case
        when s.is_price_of_line then cast(floor(cast(s.item_price_cents as double) / s.quantity) as bigint)
        else s.item_price_cents
    end as item_price_cents,
    t.item_cost_cents, t.is_fragile,
    l.shipping_charged_cents,
    case when s.quantity > 0 then
        cast(round(cast(coalesce(k.marketplace_fee_cents, 0) as double) * l.packed_quantity / s.quantity) as bigint)
    end as marketplace_fee_cents,
    t.weight_lb
from core.parcel_lines as l
left join accepted.sales as s on s.sale_id = l.sale_id and s.line_number = l.line_number
left join core.sale_lines as k on k.sale_id = l.sale_id and k.line_number = l.line_number
left join accepted.item_types as t on t.item_type = l.item_type
where l.parcel_id = ?
order by l.sale_id, l.line_number
