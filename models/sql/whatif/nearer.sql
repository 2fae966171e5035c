-- One row per class of parcels and direction: the side or weight that the class is for, less or more by the whole reach.
-- Requests are many and joined often: their ids are kept short.
with directions as (
    select -1 as direction
    union all
    select 1 as direction
),

changed as (
    select
        c.*,
        d.direction,
        s.reach_in * d.direction as by_in,
        s.reach_lb * d.direction as by_lb
    from core.class_parcels as c
    cross join directions as d
    cross join shop.settings as s
)

select
    cast(c.class_key * c.direction as varchar) as request_id,
    c.carrier,
    c.service,
    c.zone,
    c.shipped_on,
    c.length_in + case when c.change = 'longest side' then c.by_in else 0 end as length_in,
    c.width_in + case when c.change = 'second side' then c.by_in else 0 end as width_in,
    c.height_in + case when c.change = 'shortest side' then c.by_in else 0 end as height_in,
    c.is_rectangular,
    c.scale_weight_lb + case when c.change = 'weight' then c.by_lb else 0 end as scale_weight_lb,
    c.is_residential,
    c.destination_prefix,
    c.declared_value_cents,
    'asked' as sides_source
from changed as c
where
    c.direction > 0
    or case c.change
        when 'longest side' then c.length_in
        when 'second side' then c.width_in
        when 'shortest side' then c.height_in
        else c.scale_weight_lb
    end > case when c.change = 'weight' then -c.by_lb else -c.by_in end
