-- Bench rows whose cut height is more than the carton's own height, or below the height it may be cut to.
select p.parcel_id, p.carton_code, p.cut_height_in, c.inside_height_in, c.minimum_height_in
from core.parcels as p
inner join core.cartons as c
    on c.carton_code = p.carton_code
    and p.shipped_on >= c.effective_from
    and (c.effective_before is null or p.shipped_on < c.effective_before)
where p.cut_height_in > c.inside_height_in or p.cut_height_in < c.minimum_height_in
