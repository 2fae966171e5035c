-- Sale lines of which more pieces were packed than sold: a part sent again, or a wrong sale number.
select l.sale_id, l.line_number, max(s.quantity) as quantity, cast(sum(l.packed_quantity) as bigint) as packed_quantity
from core.parcel_lines as l
inner join core.sale_lines as s on s.sale_id = l.sale_id and s.line_number = l.line_number
group by l.sale_id, l.line_number
having sum(l.packed_quantity) > max(s.quantity)
