-- One row per parcel without a bench log and sale that a label of it names, as the carrier's invoice repeats it.
select distinct
    g.parcel_id,
    g.sale_id
from accepted.charges as g
left join accepted.weights as b on b.parcel_id = g.parcel_id
where g.parcel_id is not null and g.sale_id is not null and b.parcel_id is null
