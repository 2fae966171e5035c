-- One row: the sale lines that have a stock number without an item type, and no title from which one could be made.
select count(*) as line_count
from accepted.sales as s
left join accepted.skus as k on k.sku = s.sku
where s.sku is not null and s.item_type is null and s.title is null and k.sku is null
