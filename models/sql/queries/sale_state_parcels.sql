-- One row per parcel and sale line packed in it: the month and state of the sale.
select
    p.parcel_id,
    cast(date_trunc('month', s.sold_at) as date) as sold_month,
    s.sale_state
from core.packed_lines as p
inner join core.sale_lines as s on s.sale_id = p.sale_id and s.line_number = p.line_number
