-- One row per month of shipping, carrier, charge code and amount of later corrections upwards: how many there were.
select
    p.shipped_month,
    c.carrier,
    c.charge_code,
    c.amount_cents,
    count(*) as line_count
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
left join core.repeated_lines as r
    on r.carrier = c.carrier and r.invoice_number = c.invoice_number and r.line_number = c.line_number
where c.charge_kind = 'adjustment' and not c.is_account and c.amount_cents > 0 and r.line_number is null
group by p.shipped_month, c.carrier, c.charge_code, c.amount_cents
