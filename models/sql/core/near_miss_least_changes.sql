-- One row per class, direction and charge that the whole reach would spare, or for a change upwards would add: the least
-- change that does it, in eighths of the reach.
-- `rated weight` is spared where fewer pounds are billed and no surcharge falls away.
with tried as (
    select
        a.class_key, a.change, a.direction, a.eighth, a.is_whole_reach,
        c.price_class_key as own_price_class_key,
        p.price_class_key, p.base_cents, p.surcharge_cents,
        f.fuelled_cents,
        c.base_cents + c.surcharge_cents - p.base_cents - p.surcharge_cents as spared_cents,
        o.billed_weight_milli - b.billed_weight_milli as spared_milli
    from core.near_miss_trials as a
    inner join core.class_parcels as c on c.class_key = a.class_key
    inner join nearer.priced as p on p.request_id = a.request_id and p.lacking is null
    inner join rating.class_base_prices as o on o.price_class_key = c.price_class_key
    inner join nearer.class_base_prices as b on b.price_class_key = p.price_class_key
    inner join nearer.class_prices as f on f.price_class_key = p.price_class_key
),

own_names as (
    select distinct l.price_class_key, l.charge_name
    from rating.class_charges as l
    where l.charge_kind = 'surcharge' and l.charge_name <> 'discount'
),

near_names as (
    select distinct l.price_class_key, l.charge_name
    from nearer.class_charges as l
    where l.charge_kind = 'surcharge' and l.charge_name <> 'discount'
),

spared as (
    select
        t.class_key, t.direction, t.eighth,
        t.is_whole_reach and t.spared_cents > 0 as is_reached,
        o.charge_name
    from tried as t
    inner join own_names as o on o.price_class_key = t.own_price_class_key
    left join near_names as n on n.price_class_key = t.price_class_key and n.charge_name = o.charge_name
    where t.direction < 0 and n.charge_name is null
),

done as (
    select s.*
    from spared as s
    union all
    select
        t.class_key, t.direction, t.eighth,
        t.is_whole_reach and t.spared_cents < 0 as is_reached,
        n.charge_name
    from tried as t
    inner join near_names as n on n.price_class_key = t.price_class_key
    left join own_names as o on o.price_class_key = t.own_price_class_key and o.charge_name = n.charge_name
    where t.direction > 0 and o.charge_name is null
    union all
    select
        t.class_key, t.direction, t.eighth,
        t.is_whole_reach and t.spared_cents > 0 and s.class_key is null as is_reached,
        'rated weight' as charge_name
    from tried as t
    left join (
        select distinct r.class_key
        from spared as r
        where r.is_reached
    ) as s on s.class_key = t.class_key
    where t.direction < 0 and t.spared_milli > 0
),

least_eighths as (
    select
        d.class_key, d.direction, d.charge_name,
        min(d.eighth) as eighth
    from done as d
    group by d.class_key, d.direction, d.charge_name
    having bool_or(d.is_reached)
)

select
    l.class_key, l.direction, l.charge_name,
    t.change,
    l.eighth,
    t.base_cents, t.surcharge_cents, t.fuelled_cents
from least_eighths as l
inner join tried as t on t.class_key = l.class_key and t.direction = l.direction and t.eighth = l.eighth
