-- One row per sale line, its item type resolved by name, by stock number or by the shop's rules for titles.
-- A cancelled line brings nothing. A refunded one keeps nothing in the item price, and all its shipping counts as
-- refunded unless the record says how much was; of a returned one only what the record says.
-- Where the marketplace takes its fee on shipping too, shipping bears its share of the fee by value.
with named as (
    select
        s.*,
        coalesce(s.sale_state, 'sold') as known_state,
        coalesce(s.item_type, k.item_type, t.item_type, 'unknown') as known_item_type,
        t.sale_id is not null and t.item_type is null as has_unknown_title,
        s.quantity * s.item_price_cents as goods_cents,
        coalesce(s.marketplace_fee_cents, 0) as fee_cents
    from accepted.sales as s
    left join accepted.skus as k on k.sku = s.sku
    left join core.sale_titles as t on t.sale_id = s.sale_id and t.line_number = s.line_number
),

priced as (
    select
        n.*,
        case when n.known_state = 'cancelled' then 0 else n.shipping_charged_cents end as charged_cents,
        case n.known_state
            when 'cancelled' then 0
            when 'refunded' then coalesce(n.shipping_refunded_cents, n.shipping_charged_cents)
            else coalesce(n.shipping_refunded_cents, 0)
        end as refunded_cents
    from named as n
)

select
    p.sale_id, p.line_number, p.sold_at,
    p.known_state as sale_state,
    coalesce(p.channel, 'unknown') as channel,
    p.known_item_type as item_type,
    p.has_unknown_title, p.quantity, p.goods_cents,
    p.charged_cents as shipping_charged_cents,
    p.refunded_cents as shipping_refunded_cents,
    case
        when p.known_state in ('cancelled', 'refunded') then 0
        else p.quantity * coalesce(t.shipping_allowance_cents, 0)
    end as allowance_cents,
    p.fee_cents as marketplace_fee_cents,
    case
        when coalesce(p.is_fee_on_shipping, false) and p.charged_cents > 0
            then cast(
                round(
                    cast(p.fee_cents as double) * p.charged_cents / (p.goods_cents + p.charged_cents)
                ) as bigint
            )
        else 0
    end as fee_on_shipping_cents,
    p.destination_prefix, p.deliver_by
from priced as p
left join accepted.item_types as t on t.item_type = p.known_item_type
