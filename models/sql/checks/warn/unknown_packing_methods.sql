-- Parcels whose packing method has no entry on the day of shipping: their material cost counts as nothing.
select p.parcel_id, p.shipped_on, p.packing_method
from core.parcels as p
left join core.packing_methods as m
    on m.packing_method = p.packing_method
    and p.shipped_on >= m.effective_from
    and (m.effective_before is null or p.shipped_on < m.effective_before)
where p.packing_method is not null and m.packing_method is null
