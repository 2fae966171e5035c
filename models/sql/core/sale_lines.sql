-- One row per sale line, its item type resolved by name or stock number.
-- Where the marketplace takes its fee on shipping too, shipping bears its share of the fee by value.
with priced as (
    select
        s.*,
        coalesce(s.item_type, k.item_type, 'unknown') as known_item_type,
        s.quantity * s.item_price_cents as goods_cents,
        coalesce(s.marketplace_fee_cents, 0) as fee_cents
    from accepted.sales as s
    left join accepted.skus as k on k.sku = s.sku
)

select
    p.sale_id,
    p.line_number,
    p.sold_at,
    coalesce(p.channel, 'unknown') as channel,
    p.known_item_type as item_type,
    p.quantity,
    p.goods_cents,
    p.shipping_charged_cents,
    p.quantity * coalesce(t.shipping_allowance_cents, 0) as allowance_cents,
    p.fee_cents as marketplace_fee_cents,
    case
        when coalesce(p.is_fee_on_shipping, false) and p.goods_cents + p.shipping_charged_cents > 0
            then cast(
                round(
                    cast(p.fee_cents as double) * p.shipping_charged_cents
                    / (p.goods_cents + p.shipping_charged_cents)
                ) as bigint
            )
        else 0
    end as fee_on_shipping_cents,
    p.destination_prefix
from priced as p
left join accepted.item_types as t on t.item_type = p.known_item_type
