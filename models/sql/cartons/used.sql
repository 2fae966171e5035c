-- One row per contents and carton that is not rectangular in which such contents travelled.
select distinct
    c.contents_key,
    e.carton_code
from cartons.parcels as p
inner join cartons.contents as c on c.packed_contents_key = p.packed_contents_key
left join core.renamed_cartons as r on r.carton_code = p.carton_code
inner join cartons.catalogue as e on e.carton_code = coalesce(r.today_code, p.carton_code)
where e.carton_style = 'tube' or not e.is_rectangular
