-- One row per surcharge, way a parcel crosses its threshold (newly charged, or no longer) and item type.
select
    c.surcharge, c.crossing, c.item_type,
    count(*) as parcel_count,
    cast(sum(c.change_cents) as bigint) as change_cents
from whatif.crossing_parcels as c
group by c.surcharge, c.crossing, c.item_type
order by parcel_count desc, c.surcharge, c.item_type
