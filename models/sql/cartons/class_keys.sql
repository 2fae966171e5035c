-- One row per class and carton that holds its contents, in the form of rating.request_keys: what the rating found of the
-- trip, in the lane of the class. `request_id` is the class, times 2^20, and the carton.
select
    c.class_key * 1048576 + o.option_key as request_id,
    c.lane_key,
    k.lane_class_key,
    l.fuel_share_millionths,
    k.size_key, k.scale_band, k.goods_bits, k.rated_weight_milli, k.missing_weight_milli, k.is_home, k.place_key,
    k.declared_steps
from cartons.classes as c
inner join rating.lanes as l on l.lane_key = c.lane_key
inner join cartons.pairs as p on p.contents_key = c.contents_key
inner join cartons.offers as o on o.option_key = p.option_key
inner join carton_rating.request_keys as k on k.request_id = c.trip_key * 1048576 + p.option_key
where (o.effective_from is null or {valid o on l.shipped_on})
