-- One row per title that no rule makes an item type of: its sale lines and their money, the most money first.
select
    t.title,
    count(*) as line_count,
    cast(sum(l.goods_cents + l.shipping_charged_cents) as bigint) as money_cents
from core.sale_titles as t
inner join core.sale_lines as l on l.sale_id = t.sale_id and l.line_number = t.line_number
where t.item_type is null
group by t.title
order by money_cents desc, t.title
