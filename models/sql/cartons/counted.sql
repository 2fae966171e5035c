-- One row per goods and way of the parcels judged: how many there are.
select
    p.goods_key,
    p.way_key,
    count(*) as parcel_count
from cartons.parcels as p
group by p.goods_key, p.way_key
