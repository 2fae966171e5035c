-- One row per parcel with a base charge: what its first invoice says of it, and what was billed by kind.
with first_lines as (
    select
        c.parcel_id, c.carrier, c.invoice_number, c.line_number, c.invoiced_on,
        row_number() over (partition by c.parcel_id order by c.invoiced_on, c.invoice_number, c.line_number) as place
    from core.charge_lines as c
    where c.charge_kind = 'base' and not c.is_account
),

facts as (
    select
        f.parcel_id, f.carrier, f.invoice_number, f.line_number, f.invoiced_on,
        {max c.service, c.zone, c.billed_weight_lb, c.billed_length_in, c.billed_width_in, c.billed_height_in}
    from first_lines as f
    inner join core.charge_lines as c
        on c.parcel_id = f.parcel_id and c.carrier = f.carrier and c.invoice_number = f.invoice_number
    where f.place = 1 and c.charge_kind in ('base', 'surcharge', 'fuel', 'unmapped')
    group by f.parcel_id, f.carrier, f.invoice_number, f.line_number, f.invoiced_on
),

sums as (
    select
        b.parcel_id,
        cast(sum(case when b.charge_kind = 'base' then b.billed_cents else 0 end) as bigint) as base_cents,
        cast(sum(case when b.charge_kind = 'fuel' then b.billed_cents else 0 end) as bigint) as fuel_cents,
        cast(sum(case when b.charge_kind = 'surcharge' then b.billed_cents else 0 end) as bigint) as surcharge_cents,
        cast(sum(case when b.charge_kind = 'unmapped' then b.billed_cents else 0 end) as bigint) as unmapped_cents
    from core.billed_charges as b
    group by b.parcel_id
)

select
    f.*,
    s.base_cents, s.fuel_cents, s.surcharge_cents, s.unmapped_cents
from facts as f
inner join sums as s on s.parcel_id = f.parcel_id
