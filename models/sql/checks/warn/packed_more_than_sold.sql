-- Sale lines of which more pieces were packed than sold: a part sent again, or a wrong sale number.
select l.sale_id, l.line_number, max(l.line_quantity) as quantity, cast(sum(l.packed_quantity) as bigint) as packed_quantity
from core.packed_lines as l
where l.parcel_count > 1 or l.packed_quantity > l.line_quantity
group by l.sale_id, l.line_number
having sum(l.packed_quantity) > max(l.line_quantity)
