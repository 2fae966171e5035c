-- Bench rows whose cut height is more than the carton's own height, or below the height it may be cut to.
select d.parcel_id, d.carton_code, d.cut_height_in, d.inside_height_in, d.minimum_height_in
from core.parcel_doubts as d
where d.doubt = 'cut above carton'
