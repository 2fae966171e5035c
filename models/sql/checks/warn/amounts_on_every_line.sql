-- Sales whose lines state the same shipping, which counts for each of them: no record says whether it is that of the
-- whole sale, and in at least four of five such sales the lines agree.
with several as (
    select
        s.sale_id,
        min(s.shipping_charged_cents) = max(s.shipping_charged_cents) as is_alike
    from accepted.sales as s
    where coalesce(s.sale_state, 'sold') <> 'cancelled'
    group by s.sale_id
    having count(*) > 1 and max(s.shipping_charged_cents) > 0 and bool_or(s.is_shipping_of_sale is null)
),

counted as (
    select count(*) as sale_count, sum(case when e.is_alike then 0 else 1 end) as differing_count
    from several as e
)

select s.sale_id, s.line_number, s.shipping_charged_cents
from accepted.sales as s
inner join several as e on e.sale_id = s.sale_id and e.is_alike
inner join counted as t on t.differing_count * 5 <= t.sale_count
where coalesce(s.sale_state, 'sold') <> 'cancelled'
