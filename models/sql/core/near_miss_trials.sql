-- One row per class, direction and eighth of the reach that the carrier can tell from the eighth before it: the side or
-- the weight rounds otherwise there. Other eighths cost what the one before them costs: the last does what all would.
with directions as (
    {values direction in -1, 1}
),

eighths as (
    {values eighth in 1, 2, 3, 4, 5, 6, 7, 8}
),

changed as (
    select
        c.class_key, c.change,
        cast(d.direction as bigint) as direction,
        case c.change
            when 'longest side' then c.length_in
            when 'second side' then c.width_in
            when 'shortest side' then c.height_in
            else c.scale_weight_lb
        end as own,
        case when c.change = 'weight' then s.reach_lb else s.reach_in end * d.direction as by_all,
        case when c.change = 'weight' then l.weight_per_lb else l.length_per_in end as per_unit,
        case when c.change = 'weight' then l.scale_grain_milli else l.side_step_milli end as step_milli,
        case when c.change = 'weight' then 0 else l.side_bias_milli end as bias_milli
    from core.class_parcels as c
    cross join directions as d
    inner join rating.lanes as l on {alike l, c in carrier?, service?, zone?, shipped_on}
    cross join shop.settings as s
),

measured as (
    select
        c.class_key, c.change, c.direction,
        e.eighth,
        ({milli (c.own + c.by_all * e.eighth / 8) * c.per_unit} + c.bias_milli) / c.step_milli as steps,
        ({milli (c.own + c.by_all * (e.eighth - 1) / 8) * c.per_unit} + c.bias_milli) / c.step_milli
            as steps_before
    from changed as c
    cross join eighths as e
    where c.own + c.by_all > 0
)

select
    m.class_key, m.direction,
    cast(m.eighth as bigint) as eighth,
    m.change,
    row_number() over (partition by m.class_key, m.direction order by m.eighth desc) = 1 as is_whole_reach,
    cast((m.class_key * 10 + m.eighth) * m.direction as varchar) as request_id
from measured as m
where floor(m.steps) <> floor(m.steps_before) or (m.change = 'weight' and ceil(m.steps) <> ceil(m.steps_before))
