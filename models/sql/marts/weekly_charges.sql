-- One row per carrier, item type, service and week of shipping, beginning on Monday: parcels, those invoiced, and their
-- charges.
select
    d.carrier, d.item_type, d.service,
    cast(date_trunc('week', d.shipped_on) as date) as week_on,
    {sums d.parcel_count, d.charged_count, d.billed_cents}
from core.daily_charges as d
group by d.carrier, d.item_type, d.service, cast(date_trunc('week', d.shipped_on) as date)
