-- Sales of several lines that each state the same shipping, of which no record says whether it is that of the whole
-- sale: it counts once for each line.
select
    s.sale_id, s.line_number, s.shipping_charged_cents
from accepted.sales as s
inner join (
    select a.sale_id
    from accepted.sales as a
    where coalesce(a.sale_state, 'sold') <> 'cancelled'
    group by a.sale_id
    having
        count(*) > 1 and min(a.shipping_charged_cents) = max(a.shipping_charged_cents)
        and max(a.shipping_charged_cents) > 0 and bool_or(a.is_shipping_of_sale is null)
) as e on e.sale_id = s.sale_id
where coalesce(s.sale_state, 'sold') <> 'cancelled'
