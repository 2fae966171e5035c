-- One row per rated parcel: the class of parcels that the tariff takes for one, but for fuel.
select
    k.request_id as parcel_id,
    dense_rank() over (
        order by
            k.lane_class_key, r.length_in, r.width_in, r.height_in, r.is_rectangular, r.scale_weight_lb, k.is_home,
            k.place_key, k.declared_steps
    ) as class_key
from rating.request_keys as k
inner join rating.requests as r on r.request_id = k.request_id
inner join rating.priced as p on p.request_id = k.request_id
where p.lacking is null
