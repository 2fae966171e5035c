-- One row per contents and all that decides a price beside the sides: such parcels cost the same in the same carton.
select
    row_number() over (order by min(p.parcel_id)) as class_key,
    c.contents_key,
    p.catalogue_from,
    p.lane_class_key,
    p.fuel_share_millionths,
    p.scale_band,
    p.is_home,
    p.place_key,
    p.declared_steps,
    min(p.parcel_id) as example_parcel_id,
    count(*) as parcel_count
from cartons.parcels as p
inner join cartons.contents as c
    on c.goods is not distinct from p.goods
    and c.clearance_in is not distinct from p.clearance_in
    and c.bound_length_in is not distinct from p.bound_length_in
    and c.bound_width_in is not distinct from p.bound_width_in
    and c.bound_height_in is not distinct from p.bound_height_in
group by
    c.contents_key, p.catalogue_from, p.lane_class_key, p.fuel_share_millionths, p.scale_band, p.is_home, p.place_key,
    p.declared_steps
