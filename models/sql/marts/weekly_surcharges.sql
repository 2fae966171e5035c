-- One row per carrier, surcharge and week of shipping, beginning on Monday: parcels that were charged it.
select
    d.carrier,
    d.surcharge,
    cast(date_trunc('week', d.shipped_on) as date) as week_on,
    cast(sum(d.charged_parcel_count) as bigint) as charged_parcel_count
from core.daily_surcharges as d
group by d.carrier, d.surcharge, cast(date_trunc('week', d.shipped_on) as date)
