-- A key that is made of facts stands for one set of them.
with lane_classes as (
    select distinct
        l.lane_class_key,
        l.service_key,
        l.season_key,
        l.zone
    from rating.lanes as l
    where l.lacking is null
),

cases as (
    select distinct
        c.case_key,
        c.lane_class_key,
        c.case_bits,
        c.is_home,
        c.place_key,
        c.declared_steps
    from rating.cells as c
),

made as (
    select 'lane_key' as key_name, l.lane_key as made_key from rating.lanes as l
    union all
    select 'lane_class_key' as key_name, l.lane_class_key as made_key from lane_classes as l
    union all
    select 'case_key' as key_name, c.case_key as made_key from cases as c
    union all
    select 'cell_key' as key_name, c.cell_key as made_key from rating.cells as c
    union all
    select 'goods_key' as key_name, g.goods_key as made_key from core.goods as g
    union all
    select 'way_key' as key_name, w.way_key as made_key from core.ways as w
)

select
    m.key_name,
    m.made_key,
    count(*) as fact_count
from made as m
group by m.key_name, m.made_key
having count(*) > 1
