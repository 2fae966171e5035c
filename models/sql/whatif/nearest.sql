-- One row per class, change that spares or adds a charge, and eighth of the reach: which eighth suffices.
with eighths as (
    select 1 as eighth
    union all
    select 2 as eighth
    union all
    select 3 as eighth
    union all
    select 4 as eighth
    union all
    select 5 as eighth
    union all
    select 6 as eighth
    union all
    select 7 as eighth
    union all
    select 8 as eighth
),

changes as (
    select distinct
        n.class_key,
        n.change,
        n.direction
    from core.near_changes as n
),

changed as (
    select
        c.*,
        n.change,
        n.direction,
        e.eighth,
        s.reach_in * n.direction * e.eighth / 8 as by_in,
        s.reach_lb * n.direction * e.eighth / 8 as by_lb
    from changes as n
    inner join core.class_parcels as c on c.class_key = n.class_key
    cross join eighths as e
    cross join shop.settings as s
)

select
    cast(c.class_key as varchar) || '/' || c.change || '/' || cast(c.direction as varchar) || '/'
    || cast(c.eighth as varchar) as request_id,
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
