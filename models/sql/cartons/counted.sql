-- One row per goods, shipping conditions and weights of the parcels judged: how many there are, and what they weigh.
select
    p.packed_contents_key, p.conditions_key, p.weight_key,
    count(*) as parcel_count,
    avg(p.scale_weight_lb) as scale_weight_lb,
    avg(p.used_tare_lb) as used_tare_lb,
    avg(p.used_void_lb) as used_void_lb
from cartons.packed as p
group by p.packed_contents_key, p.conditions_key, p.weight_key
