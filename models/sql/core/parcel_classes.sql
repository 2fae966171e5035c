-- One row per rated parcel and change: the class of parcels that the tariff takes for one however far the change goes, but
-- for fuel. What does not change is taken as the tariff rounds it: other sides, and of a change to a side the weight.
with measured as (
    select
        k.request_id as parcel_id,
        k.lane_class_key, k.size_key, k.scale_band, k.is_home, k.place_key, k.declared_steps,
        r.is_rectangular, r.scale_weight_lb,
        {longest r.} as length_in,
        {second r.} as width_in,
        {shortest r.} as height_in,
        l.length_per_in, l.side_bias_milli, l.side_step_milli
    from rating.request_keys as k
    inner join rating.requests as r on r.request_id = k.request_id
    inner join rating.priced as p on p.request_id = k.request_id
    inner join rating.lanes as l on l.lane_key = k.lane_key
    where p.lacking is null
),

rounded as (
    select
        m.*,
        floor(({milli m.length_in * m.length_per_in} + m.side_bias_milli) / m.side_step_milli)
            as length_steps,
        floor(({milli m.width_in * m.length_per_in} + m.side_bias_milli) / m.side_step_milli)
            as width_steps,
        floor(({milli m.height_in * m.length_per_in} + m.side_bias_milli) / m.side_step_milli)
            as height_steps
    from measured as m
),

ranked as (
    select
        r.parcel_id,
        'longest side' as change,
        dense_rank() over (
            order by
                r.lane_class_key, r.length_in, r.width_steps, r.height_steps, r.is_rectangular, r.scale_band, r.is_home,
                r.place_key, r.declared_steps
        ) * 4 as class_key
    from rounded as r
    union all
    select
        r.parcel_id,
        'second side' as change,
        dense_rank() over (
            order by
                r.lane_class_key, r.width_in, r.length_steps, r.height_steps, r.is_rectangular, r.scale_band, r.is_home,
                r.place_key, r.declared_steps
        ) * 4 + 1 as class_key
    from rounded as r
    union all
    select
        r.parcel_id,
        'shortest side' as change,
        dense_rank() over (
            order by
                r.lane_class_key, r.height_in, r.length_steps, r.width_steps, r.is_rectangular, r.scale_band, r.is_home,
                r.place_key, r.declared_steps
        ) * 4 + 2 as class_key
    from rounded as r
    union all
    select
        r.parcel_id,
        'weight' as change,
        dense_rank() over (
            order by r.lane_class_key, r.scale_weight_lb, r.size_key, r.is_home, r.place_key, r.declared_steps
        ) * 4 + 3 as class_key
    from rounded as r
)

select r.parcel_id, r.change, r.class_key
from ranked as r
