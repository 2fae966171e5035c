-- One row per contents: the same goods with the same clearance, or goods of unknown sides bounded by one inside.
with found as (
    select
        p.packed_contents_key,
        count(*) as parcel_count
    from cartons.parcels as p
    group by p.packed_contents_key
)

select
    row_number() over (
        order by f.parcel_count desc, g.goods, g.clearance_in, g.bound_length_in, g.bound_width_in, g.bound_height_in
    ) as contents_key,
    g.packed_contents_key, g.goods, g.clearance_in, g.bound_length_in, g.bound_width_in, g.bound_height_in,
    f.parcel_count
from found as f
inner join core.packed_contents as g on g.packed_contents_key = f.packed_contents_key
