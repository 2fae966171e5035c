-- One row per contents and carton that such contents travelled in.
select distinct
    c.contents_key,
    p.carton_code
from cartons.parcels as p
inner join cartons.parcel_classes as k on k.parcel_id = p.parcel_id
inner join cartons.classes as c on c.class_key = k.class_key
