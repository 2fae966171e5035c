-- Parcels whose carton has no catalogue entry on the day of shipping: their carton cost counts as nothing.
select p.parcel_id, p.shipped_on, p.carton_code
from core.parcels as p
left join core.cartons as c
    on c.carton_code = p.carton_code
    and p.shipped_on >= c.effective_from
    and (c.effective_before is null or p.shipped_on < c.effective_before)
where p.carton_code is not null and c.carton_code is null
