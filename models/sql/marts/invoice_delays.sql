-- One row per month of shipping, carrier and days from shipping to an invoice: parcels first billed then, and what later
-- invoices added. Parcels whose day of shipping neither a record nor a label says are left out.
with dated as (
    select
        p.parcel_id, p.shipped_month, p.shipped_on, p.carrier,
        b.invoiced_on as first_on
    from core.billed_parcels as b
    inner join core.parcels as p on p.parcel_id = b.parcel_id
    where p.dated_by in ('shipping', 'label')
),

billed as (
    select
        d.shipped_month, d.carrier,
        cast(date_diff('day', d.shipped_on, c.invoiced_on) as bigint) as delay_days,
        case when c.invoiced_on = d.first_on then d.parcel_id end as first_parcel_id,
        case when c.invoiced_on > d.first_on then c.amount_cents else 0 end as later_cents
    from dated as d
    inner join core.charge_lines as c on c.parcel_id = d.parcel_id
)

select
    b.shipped_month, b.carrier, b.delay_days,
    count(distinct b.first_parcel_id) as first_billed_count,
    cast(sum(b.later_cents) as bigint) as later_cents,
    cast(sum(cast(b.later_cents as double) * b.later_cents) as double) as later_square
from billed as b
group by b.shipped_month, b.carrier, b.delay_days
