-- One row per parcel and sale that a record names together, but for lines that the bench log packed: those known by the last
-- build, and those of changed records.
select g.parcel_id, g.sale_id from history.core.parcel_references as g
union
select c.parcel_id, c.sale_id from touched.changed as c where c.parcel_id is not null and c.sale_id is not null
