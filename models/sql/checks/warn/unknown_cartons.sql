-- Parcels whose carton has no catalogue entry on the day of shipping: their carton cost counts as nothing.
select d.parcel_id, d.shipped_on, d.carton_code
from core.parcel_doubts as d
where d.doubt = 'unknown carton'
