-- Sale lines whose item type has no entry: their packed sides and weight are unknown.
select l.sale_id, l.line_number, l.item_type
from core.sale_lines as l
left join accepted.item_types as t on t.item_type = l.item_type
where t.item_type is null
