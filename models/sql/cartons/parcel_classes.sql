-- One row per parcel: its class.
select
    p.parcel_id,
    k.class_key
from cartons.parcels as p
inner join cartons.contents as c
    on c.goods is not distinct from p.goods
    and c.clearance_in is not distinct from p.clearance_in
    and c.bound_length_in is not distinct from p.bound_length_in
    and c.bound_width_in is not distinct from p.bound_width_in
    and c.bound_height_in is not distinct from p.bound_height_in
inner join cartons.classes as k
    on k.contents_key = c.contents_key
    and k.catalogue_from is not distinct from p.catalogue_from
    and k.lane_class_key = p.lane_class_key
    and k.fuel_share_millionths = p.fuel_share_millionths
    and k.scale_band = p.scale_band
    and k.is_home = p.is_home
    and k.place_key = p.place_key
    and k.declared_steps = p.declared_steps
