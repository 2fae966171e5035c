-- One row per parcel, cause, invoice line and kind and name of charge that was billed otherwise than expected; a parcel
-- that cannot be rated has one row that says what is lacking. A parcel billed as expected has none.
with compared as (
    {in_each core.charge_differences, core.shipment_differences:
    select
        d.parcel_id, d.difference_class, d.charge_kind, d.charge_name, d.expected_cents, d.billed_cents,
        d.difference_cents
    from $ as d}
),

found as (
    select
        s.parcel_id, s.difference_class,
        b.carrier,
        coalesce(c.invoice_number, b.invoice_number) as invoice_number,
        coalesce(c.line_number, b.line_number) as line_number,
        s.charge_kind, s.charge_name,
        coalesce(c.invoiced_on, b.invoiced_on) as invoiced_on,
        b.invoice_number as corrected_invoice_number,
        b.line_number as corrected_line_number,
        s.expected_cents, s.billed_cents, s.difference_cents
    from compared as s
    inner join core.billed_parcels as b on b.parcel_id = s.parcel_id
    left join core.billed_charges as c
        on c.parcel_id = s.parcel_id and c.charge_kind = s.charge_kind and c.charge_name = s.charge_name
    union all
    select
        c.parcel_id,
        'duplicate line' as difference_class,
        c.carrier, c.invoice_number, c.line_number, c.charge_kind,
        coalesce(c.surcharge, c.charge_kind) as charge_name,
        c.invoiced_on,
        r.first_invoice_number as corrected_invoice_number,
        r.first_line_number as corrected_line_number,
        0 as expected_cents,
        c.amount_cents as billed_cents,
        c.amount_cents as difference_cents
    from core.repeated_lines as r
    inner join core.charge_lines as c
        on c.carrier = r.carrier and c.invoice_number = r.invoice_number and c.line_number = r.line_number
    union all
    select
        a.parcel_id, a.difference_class, a.carrier, a.invoice_number, a.line_number,
        'adjustment' as charge_kind,
        lower(a.charge_code) as charge_name,
        a.invoiced_on, a.corrected_invoice_number, a.corrected_line_number,
        0 as expected_cents,
        a.amount_cents as billed_cents,
        case when a.difference_class = 'option or event' then a.due_cents else a.amount_cents end as difference_cents
    from core.billed_adjustments as a
    union all
    select
        a.parcel_id,
        'other amount' as difference_class,
        a.carrier, a.invoice_number, a.line_number,
        'adjustment' as charge_kind,
        lower(a.charge_code) as charge_name,
        a.invoiced_on, a.corrected_invoice_number, a.corrected_line_number,
        a.due_cents as expected_cents,
        a.amount_cents as billed_cents,
        a.amount_cents - a.due_cents as difference_cents
    from core.billed_adjustments as a
    where a.difference_class = 'option or event' and a.amount_cents <> a.due_cents
    union all
    select
        t.parcel_id,
        'tax' as difference_class,
        b.carrier,
        t.invoice_number, t.line_number,
        'tax' as charge_kind,
        'tax' as charge_name,
        t.invoiced_on,
        b.invoice_number as corrected_invoice_number,
        b.line_number as corrected_line_number,
        t.due_cents as expected_cents,
        t.billed_cents,
        t.billed_cents - t.due_cents as difference_cents
    from core.billed_tax as t
    inner join core.billed_parcels as b on b.parcel_id = t.parcel_id
    where t.billed_cents > t.due_cents + 1
    union all
    select
        b.parcel_id,
        'not rated' as difference_class,
        b.carrier, b.invoice_number, b.line_number,
        'base' as charge_kind,
        p.lacking as charge_name,
        b.invoiced_on,
        b.invoice_number as corrected_invoice_number,
        b.line_number as corrected_line_number,
        cast(null as bigint) as expected_cents,
        b.base_cents + b.surcharge_cents + b.fuel_cents + b.unmapped_cents as billed_cents,
        cast(null as bigint) as difference_cents
    from core.billed_parcels as b
    inner join rating.priced as p on p.request_id = b.parcel_id
    left join core.shipment_parcels as s on s.parcel_id = b.parcel_id
    where p.lacking is not null and s.parcel_id is null
)

select
    f.*,
    p.shipped_on, p.shipped_month, p.service, p.item_type, p.carton_code
from found as f
inner join core.parcels as p on p.parcel_id = f.parcel_id
