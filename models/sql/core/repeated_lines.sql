-- One row per invoice line that says again what an earlier line of the parcel says: same charge code, same amount.
-- A line that was taken back in between (the same amount below zero) may be billed again.
-- Parcels of a shipment that is billed as a whole may each have such a line under one label.
-- Adjustments and credits repeat only within one invoice: two of them weeks apart may both be meant.
with counted as (
    select
        c.carrier, c.invoice_number, c.line_number, c.invoiced_on, c.parcel_id, c.charge_code, c.amount_cents,
        case when c.charge_kind in ('adjustment', 'credit') then c.invoice_number else '' end as one_invoice
    from core.charge_lines as c
    where not c.is_account and c.amount_cents <> 0
),

taken_back as (
    select
        c.carrier, c.parcel_id, c.charge_code,
        -c.amount_cents as amount_cents,
        count(*) as line_count
    from counted as c
    group by c.carrier, c.parcel_id, c.charge_code, c.amount_cents
),

-- Few lines have another like them: only those are put in order.
several as (
    select c.carrier, c.parcel_id, c.charge_code, c.amount_cents, c.one_invoice
    from counted as c
    group by c.carrier, c.parcel_id, c.charge_code, c.amount_cents, c.one_invoice
    having count(*) > 1
),

alike as (
    select c.*
    from counted as c
    inner join several as s on {alike s, c in carrier, parcel_id, charge_code?, amount_cents, one_invoice}
),

ranked as (
    select
        c.*,
        row_number() over (
            partition by c.carrier, c.parcel_id, c.charge_code, c.amount_cents, c.one_invoice
            order by c.invoiced_on, c.invoice_number, c.line_number
        ) as place,
        first_value(c.invoice_number) over (
            partition by c.carrier, c.parcel_id, c.charge_code, c.amount_cents, c.one_invoice
            order by c.invoiced_on, c.invoice_number, c.line_number
        ) as first_invoice_number,
        first_value(c.line_number) over (
            partition by c.carrier, c.parcel_id, c.charge_code, c.amount_cents, c.one_invoice
            order by c.invoiced_on, c.invoice_number, c.line_number
        ) as first_line_number
    from alike as c
)

select r.carrier, r.invoice_number, r.line_number, r.parcel_id, r.first_invoice_number, r.first_line_number
from ranked as r
left join taken_back as t on {alike t, r in carrier, parcel_id, charge_code, amount_cents}
left join core.shipment_parcels as s on s.parcel_id = r.parcel_id and s.is_billed_whole
where r.place > coalesce(s.parcel_count, 1) + coalesce(t.line_count, 0)
