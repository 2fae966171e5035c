-- One row per goods and shipping conditions of the parcels judged: how many there are.
select
    p.packed_contents_key,
    p.conditions_key,
    count(*) as parcel_count
from cartons.parcels as p
group by p.packed_contents_key, p.conditions_key
