-- One row per contents and carton that is not rectangular in which such contents travelled.
select distinct
    c.contents_key,
    p.carton_code
from core.parcels as p
inner join cartons.parcel_classes as k on k.parcel_id = p.parcel_id
inner join cartons.classes as c on c.class_key = k.class_key
inner join cartons.catalogue as e on e.carton_code = p.carton_code
where e.carton_style = 'tube' or not e.is_rectangular
