-- One row per month of shipping, way of grouping, group and carrier: its parcels that the carrier charged.
with grouped as (
    select
        p.parcel_id,
        p.shipped_month,
        p.carrier,
        g.grouped_by,
        case g.grouped_by
            when 'item type' then p.item_type
            when 'carton' then coalesce(p.carton_code, 'unknown')
            else coalesce(p.service, 'unknown')
        end as group_name
    from core.parcels as p
    cross join (
        {values grouped_by in 'item type', 'carton', 'service'}
    ) as g
    where p.has_charges
)

select
    g.shipped_month,
    g.carrier,
    g.grouped_by,
    g.group_name,
    count(*) as parcel_count
from grouped as g
group by g.shipped_month, g.carrier, g.grouped_by, g.group_name
