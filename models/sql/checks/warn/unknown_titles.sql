-- Titles of sales of which no rule makes an item type; `dunnage titles` proposes rules.
select l.sale_id, l.line_number, l.title
from core.sale_titles as l
where l.item_type is null
