-- Parcels whose packing method has no entry on the day of shipping: their material cost counts as nothing.
select d.parcel_id, d.shipped_on, d.packing_method
from core.parcel_doubts as d
where d.doubt = 'unknown packing method'
