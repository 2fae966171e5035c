-- One row per item type, month and week of shipping: parcels on record, also those whose carton cannot be judged.
select
    {or_unknown p.item_type},
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as shipped_week,
    count(*) as parcel_count
from cartons.recent as p
group by coalesce(p.item_type, 'unknown'), p.shipped_month, cast(date_trunc('week', p.shipped_on) as date)
