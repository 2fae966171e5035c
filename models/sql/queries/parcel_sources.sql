-- Where each accepted row of the named parcels came from: kind, key, file and row.
select r.parcel_id, r.kind, r.row_key, d.file_name, r.row_number, d.content_hash, r.delivery_id
from record_parcels as r
inner join intake.deliveries as d on d.delivery_id = r.delivery_id
where r.parcel_id in (select unnest(cast(? as varchar[])))
order by r.parcel_id, r.kind, d.file_name, r.row_number
