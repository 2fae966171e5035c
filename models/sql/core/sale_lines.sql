-- One row per sale line, its item type resolved by name, by stock number or by the shop's rules for titles.
-- A cancelled line brings nothing. A refunded one keeps nothing in the item price, and all its shipping counts as
-- refunded unless the record says how much was; of a returned one only what the record says. Sales tax within the
-- shipping is the state's: what was paid and what is given back count without it. Where a sale does not state it, it is
-- the share in the shop's settings.
-- Where the marketplace takes its fee on shipping too, shipping bears its share of the fee by value.
-- Amounts of a whole sale, which stand on each of its lines, are shared by pieces among the lines not cancelled: each has
-- what is due up to it, rounded down, less what was due before it.
with live as (
    select
        s.sale_id, s.line_number,
        bool_or(coalesce(s.is_shipping_of_sale, false)) over (partition by s.sale_id) as is_shipping_of_sale,
        bool_or(coalesce(s.is_fee_of_sale, false)) over (partition by s.sale_id) as is_fee_of_sale,
        max(s.shipping_charged_cents) over (partition by s.sale_id) as charged_cents,
        max(s.shipping_tax_cents) over (partition by s.sale_id) as tax_cents,
        max(s.shipping_refunded_cents) over (partition by s.sale_id) as refunded_cents,
        max(s.marketplace_fee_cents) over (partition by s.sale_id) as fee_cents,
        case
            when
                s.sale_state = 'cancelled'
                and bool_or(coalesce(s.sale_state, 'sold') <> 'cancelled') over (partition by s.sale_id)
                then 0
            else s.quantity
        end as pieces
    from accepted.sales as s
    where
        s.sale_id in (select f.sale_id from accepted.sales as f where f.is_shipping_of_sale or f.is_fee_of_sale)
),

counted as (
    select
        l.*,
        sum(l.pieces) over (partition by l.sale_id) as all_pieces,
        sum(l.pieces) over (partition by l.sale_id order by l.line_number) as pieces_upto,
        sum(l.pieces) over (partition by l.sale_id order by l.line_number) - l.pieces as pieces_before
    from live as l
),

shared as (
    select
        c.sale_id, c.line_number, c.is_shipping_of_sale, c.is_fee_of_sale,
        {by_pieces c.charged_cents, c.tax_cents, c.refunded_cents, c.fee_cents}
    from counted as c
),

named as (
    select
        s.*,
        case when o.is_shipping_of_sale then o.charged_cents else s.shipping_charged_cents end as paid_cents,
        case when o.is_shipping_of_sale then o.tax_cents else s.shipping_tax_cents end as stated_tax_cents,
        y.shipping_tax_share,
        case when o.is_shipping_of_sale then o.refunded_cents else s.shipping_refunded_cents end as given_back_cents,
        coalesce(case when o.is_fee_of_sale then o.fee_cents else s.marketplace_fee_cents end, 0) as fee_cents,
        coalesce(s.sale_state, 'sold') as known_state,
        coalesce(s.item_type, k.item_type, t.item_type, 'unknown') as known_item_type,
        t.sale_id is not null and t.item_type is null as has_unknown_title,
        case when s.is_price_of_line then 1 else s.quantity end * s.item_price_cents as goods_cents
    from accepted.sales as s
    left join shared as o on o.sale_id = s.sale_id and o.line_number = s.line_number
    left join accepted.skus as k on k.sku = s.sku
    left join core.sale_titles as t on t.sale_id = s.sale_id and t.line_number = s.line_number
    cross join shop.settings as y
),

priced as (
    select
        n.*,
        case when n.known_state = 'cancelled' then 0 else n.paid_cents end as charged_cents,
        case
            when n.known_state = 'cancelled' then 0
            else coalesce(
                n.stated_tax_cents,
                cast(round(n.paid_cents * n.shipping_tax_share / (1 + n.shipping_tax_share)) as bigint)
            )
        end as tax_cents,
        case n.known_state
            when 'cancelled' then 0
            when 'refunded' then coalesce(n.given_back_cents, n.paid_cents)
            else coalesce(n.given_back_cents, 0)
        end as refunded_cents
    from named as n
)

select
    p.sale_id, p.line_number, p.sold_at,
    p.known_state as sale_state,
    coalesce(p.channel, 'unknown') as channel,
    p.known_item_type as item_type,
    p.has_unknown_title, p.quantity, p.goods_cents,
    p.charged_cents - p.tax_cents as shipping_charged_cents,
    p.tax_cents as shipping_tax_cents,
    case
        when p.tax_cents > 0
            then cast(
                round(cast(p.refunded_cents as double) * (p.charged_cents - p.tax_cents) / p.charged_cents) as bigint
            )
        else p.refunded_cents
    end as shipping_refunded_cents,
    case
        when p.known_state in ('cancelled', 'refunded') then 0
        else p.quantity * coalesce(t.shipping_allowance_cents, 0)
    end as allowance_cents,
    p.fee_cents as marketplace_fee_cents,
    case
        when coalesce(p.is_fee_on_shipping, false) and p.charged_cents > 0
            then cast(
                round(cast(p.fee_cents as double) * p.charged_cents / (p.goods_cents + p.charged_cents)) as bigint
            )
        else 0
    end as fee_on_shipping_cents,
    p.destination_prefix, p.deliver_by
from priced as p
left join accepted.item_types as t on t.item_type = p.known_item_type
