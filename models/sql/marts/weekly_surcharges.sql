-- One row per carrier, surcharge, item type, service and week of shipping, beginning on Monday: parcels charged it.
select
    d.carrier, d.surcharge, d.item_type, d.service,
    cast(date_trunc('week', d.shipped_on) as date) as week_on,
    cast(sum(d.charged_parcel_count) as bigint) as charged_parcel_count
from core.daily_surcharges as d
group by d.carrier, d.surcharge, d.item_type, d.service, cast(date_trunc('week', d.shipped_on) as date)
