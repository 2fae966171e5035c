-- One row per invoice: its lines summed, tax and credits included, and held against the total that it states. A total that
-- is the sum of all lines but the tax is one stated without tax, as many invoices do.
with invoices as (
    select
        i.carrier, i.invoice_number,
        min(i.invoiced_on) as invoiced_on,
        {sums i.line_count, i.parcel_count, i.amount_cents, i.tax_cents},
        min(i.least_stated_cents) as least_stated_cents,
        max(i.most_stated_cents) as most_stated_cents
    from core.invoice_parts as i
    group by i.carrier, i.invoice_number
),

checked as (
    select
        v.*,
        case
            when v.most_stated_cents is null then 'not stated'
            when v.least_stated_cents <> v.most_stated_cents then 'two totals'
            when v.most_stated_cents = v.amount_cents then 'adds up'
            when v.most_stated_cents = v.amount_cents - v.tax_cents then 'adds up without tax'
            else 'does not add up'
        end as total_check
    from invoices as v
)

select
    c.carrier, c.invoice_number, c.invoiced_on, c.line_count, c.parcel_count, c.amount_cents, c.tax_cents,
    case when c.total_check <> 'two totals' then c.most_stated_cents end as stated_cents,
    c.total_check,
    case c.total_check
        when 'adds up' then 0
        when 'adds up without tax' then 0
        when 'does not add up' then c.most_stated_cents - c.amount_cents
    end as short_cents
from checked as c
