-- Returns of parcels that no other record names: their cost is in no month.
select r.return_id, r.parcel_id
from accepted.returns as r
left join core.parcels as p on p.parcel_id = r.parcel_id
where p.parcel_id is null
