-- One row per contents and carton that is not rectangular in which such contents travelled.
select distinct
    c.contents_key,
    p.carton_code
from cartons.parcels as p
inner join cartons.contents as c on c.packed_contents_key = p.packed_contents_key
inner join cartons.catalogue as e on e.carton_code = p.carton_code
where e.carton_style = 'tube' or not e.is_rectangular
