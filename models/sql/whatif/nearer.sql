-- One row per change tried (core.near_miss_trials): the class's parcel with a side or its weight so much less or more.
with changed as (
    select
        c.*,
        t.request_id,
        s.reach_in * t.direction * t.eighth / 8 as by_in,
        s.reach_lb * t.direction * t.eighth / 8 as by_lb
    from core.near_miss_trials as t
    inner join core.class_parcels as c on c.class_key = t.class_key
    cross join shop.settings as s
)

select
    c.request_id, c.carrier, c.service, c.zone, c.shipped_on,
    c.length_in + case when c.change = 'longest side' then c.by_in else 0 end as length_in,
    c.width_in + case when c.change = 'second side' then c.by_in else 0 end as width_in,
    c.height_in + case when c.change = 'shortest side' then c.by_in else 0 end as height_in,
    c.is_rectangular,
    c.scale_weight_lb + case when c.change = 'weight' then c.by_lb else 0 end as scale_weight_lb,
    c.is_residential, c.destination_prefix, c.declared_value_cents,
    'asked' as sides_source
from changed as c
