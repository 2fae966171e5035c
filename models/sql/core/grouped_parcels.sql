-- One row per month of shipping, way of grouping, group and carrier: its parcels that the carrier charged.
select
    p.shipped_month,
    g.grouped_by,
    {group p by g.grouped_by} as group_name,
    p.carrier,
    count(*) as parcel_count
from core.parcels as p
cross join (
    {values grouped_by in 'item type', 'carton', 'service'}
) as g
where p.has_charges
group by p.shipped_month, g.grouped_by, {group p by g.grouped_by}, p.carrier
