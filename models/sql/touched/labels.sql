-- One row per parcel and sale that a carrier's label names together, where it matters: parcels without a bench log, and
-- those that a changed record names.
select distinct g.parcel_id, g.sale_id
from history.accepted.charges as g
where g.sale_id is not null and g.parcel_id in (
    select p.parcel_id from history.core.parcels as p where not p.has_bench_log
    union
    select c.parcel_id from touched.changed as c where c.parcel_id is not null
)
