-- Parcels of the bench log that no record joins to a sale: what is in them and what the buyer paid is not known.
select p.parcel_id, p.shipped_on
from core.parcels as p
where p.has_bench_log and p.line_count = 0
