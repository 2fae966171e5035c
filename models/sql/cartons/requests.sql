-- One row per trip and carton that holds contents that went on it: what the carrier would know of such a parcel.
-- It is made of what the rating tells parcels apart by; any parcel of these keys costs the same. A weight of band 0 is
-- one that rounds to nothing. Where weights are stated, a trip has one contents, and its weight is the mean of its parcels
-- with this carton and its void fill instead of those used; a tare that is not stated changes nothing. Lanes of `cartons.days` are
-- priced on that day. `request_id` is the trip, times 2^20, and the carton.
with trips as (
    select
        c.trip_key,
        {min c.lane_key, c.price_class_key, c.scale_band},
        max(c.weight_key) as weight_key,
        sum(c.scale_weight_lb * c.parcel_count) / sum(c.parcel_count) as scale_weight_lb,
        {max c.used_tare_lb, c.used_void_lb}
    from cartons.classes as c
    group by c.trip_key
),

taken as (
    select distinct
        c.trip_key, c.contents_key,
        c.weight_key <> 0 as is_weighed
    from cartons.classes as c
),

asked as (
    select distinct
        t.trip_key,
        p.option_key,
        case when t.is_weighed then p.void_lb end as void_lb
    from taken as t
    inner join cartons.pairs as p on p.contents_key = t.contents_key
),

prefixes as (
    select
        p.place_key,
        min(p.destination_prefix) as destination_prefix
    from shop.tariff_places as p
    group by p.place_key
)

select
    a.trip_key * 1048576 + a.option_key as request_id,
    l.carrier, l.service, l.zone,
    coalesce(d.priced_on, l.shipped_on) as shipped_on,
    o.length_in, o.width_in, o.height_in, o.is_rectangular,
    case
        when t.weight_key = 0 then greatest(b.first_milli, 0.25) / 1000 / l.weight_per_lb
        else {packed_lb t.scale_weight_lb from t to o with a.void_lb}
    end as scale_weight_lb,
    c.is_home as is_residential,
    x.destination_prefix,
    c.declared_steps * l.declared_grain_cents as declared_value_cents
from asked as a
inner join trips as t on t.trip_key = a.trip_key
inner join rating.lanes as l on l.lane_key = t.lane_key
inner join rating.price_classes as c on c.price_class_key = t.price_class_key
inner join shop.tariff_scale_bands as b on b.service_key = l.service_key and b.scale_band = t.scale_band
inner join cartons.offers as o on o.option_key = a.option_key
left join cartons.days as d on d.lane_key = l.lane_key
left join prefixes as x on x.place_key = c.place_key
