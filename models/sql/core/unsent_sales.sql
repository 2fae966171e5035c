-- One row per sale line that is due a parcel and of which no parcel is on record: what it brings is in no month yet.
-- A cancelled line is due none; of a refunded one nothing says whether it was sent.
select
    s.sale_id, s.line_number, s.sold_at, s.item_type, s.quantity,
    s.shipping_charged_cents - s.shipping_refunded_cents + s.allowance_cents - s.fee_on_shipping_cents as gap_cents
from core.sale_lines as s
left join core.packed_lines as p on p.sale_id = s.sale_id and p.line_number = s.line_number
where s.sale_state in ('sold', 'returned') and p.parcel_id is null
