-- Sale lines of which no record says whether the marketplace took its fee on shipping too: shipping bears none of it.
select s.sale_id, s.line_number, s.marketplace_fee_cents
from accepted.sales as s
where s.is_fee_on_shipping is null and s.marketplace_fee_cents > 0 and s.shipping_charged_cents > 0
