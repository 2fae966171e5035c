-- One row per goods and way of the parcels judged: how many there are.
select
    p.goods_and_way,
    count(*) as parcel_count
from cartons.parcels as p
group by p.goods_and_way
