-- One row per contents: the same goods with the same clearance, or goods of unknown sides bounded by one inside.
select
    row_number() over (
        order by count(*) desc, p.goods, p.clearance_in, p.bound_length_in, p.bound_width_in, p.bound_height_in
    ) as contents_key,
    p.goods,
    p.clearance_in,
    p.bound_length_in,
    p.bound_width_in,
    p.bound_height_in,
    count(*) as parcel_count
from cartons.parcels as p
group by p.goods, p.clearance_in, p.bound_length_in, p.bound_width_in, p.bound_height_in
