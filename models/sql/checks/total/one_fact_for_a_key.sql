-- A key that is made of facts stands for one set of them.
with lane_classes as (
    select distinct l.lane_class_key, l.service_key, l.season_key, l.zone
    from rating.lanes as l
    where l.lacking is null
),

cases as (
    select distinct
        c.surcharge_class_key, c.lane_class_key, c.case_bits, c.missing_weight_milli, c.is_home, c.place_key,
        c.declared_steps
    from rating.price_classes as c
),

made as (
    select 'lane_key' as key_name, l.lane_key as made_key from rating.lanes as l
    union all
    select 'lane_class_key' as key_name, l.lane_class_key as made_key from lane_classes as l
    union all
    select 'surcharge_class_key' as key_name, c.surcharge_class_key as made_key from cases as c
    union all
    select 'price_class_key' as key_name, c.price_class_key as made_key from rating.price_classes as c
    union all
    select 'packed_contents_key' as key_name, g.packed_contents_key as made_key from core.packed_contents as g
    union all
    select 'conditions_key' as key_name, w.conditions_key as made_key from core.shipping_conditions as w
)

select
    m.key_name, m.made_key,
    count(*) as fact_count
from made as m
group by m.key_name, m.made_key
having count(*) > 1
