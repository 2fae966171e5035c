-- One row per later correction upwards of a parcel's charges that repeats no other line.
select
    c.carrier, c.invoice_number, c.line_number, c.invoiced_on, c.parcel_id,
    p.shipped_month,
    c.charge_code, c.amount_cents, c.billed_weight_lb, c.billed_length_in, c.billed_width_in, c.billed_height_in
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
left join core.repeated_lines as r
    on r.carrier = c.carrier and r.invoice_number = c.invoice_number and r.line_number = c.line_number
where c.charge_kind = 'adjustment' and not c.is_account and c.amount_cents > 0 and r.line_number is null
