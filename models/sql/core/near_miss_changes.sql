-- One row per class, direction and charge that the whole reach would spare, or for a change upwards would add.
-- `rated weight` is spared where fewer pounds are billed and no surcharge falls away.
with directions as (
    select cast(-1 as bigint) as direction
    union all
    select cast(1 as bigint) as direction
),

asked as (
    select
        c.class_key,
        c.price_class_key,
        c.base_cents,
        c.surcharge_cents,
        c.change,
        d.direction,
        cast(c.class_key * d.direction as varchar) as request_id
    from core.class_parcels as c
    cross join directions as d
),

reached as (
    select
        a.class_key,
        a.price_class_key,
        n.price_class_key as near_price_class_key,
        a.change,
        a.direction,
        a.base_cents + a.surcharge_cents - n.base_cents - n.surcharge_cents as spared_cents,
        b.billed_weight_milli - m.billed_weight_milli as spared_milli
    from asked as a
    inner join nearer.priced as n on n.request_id = a.request_id and n.lacking is null
    inner join rating.class_base_prices as b on b.price_class_key = a.price_class_key
    inner join nearer.class_base_prices as m on m.price_class_key = n.price_class_key
),

own_names as (
    select distinct
        l.price_class_key,
        l.charge_name
    from rating.class_charges as l
    where l.charge_kind = 'surcharge' and l.charge_name <> 'discount'
),

near_names as (
    select distinct
        l.price_class_key,
        l.charge_name
    from nearer.class_charges as l
    where l.charge_kind = 'surcharge' and l.charge_name <> 'discount'
),

spared as (
    select
        r.class_key,
        r.change,
        r.direction,
        o.charge_name
    from reached as r
    inner join own_names as o on o.price_class_key = r.price_class_key
    left join near_names as n on n.price_class_key = r.near_price_class_key and n.charge_name = o.charge_name
    where r.direction < 0 and n.charge_name is null and r.spared_cents > 0
)

select
    s.class_key,
    s.change,
    s.direction,
    s.charge_name
from spared as s
union all
select
    r.class_key,
    r.change,
    r.direction,
    n.charge_name
from reached as r
inner join near_names as n on n.price_class_key = r.near_price_class_key
left join own_names as o on o.price_class_key = r.price_class_key and o.charge_name = n.charge_name
where r.direction > 0 and o.charge_name is null and r.spared_cents < 0
union all
select
    r.class_key,
    r.change,
    r.direction,
    'rated weight' as charge_name
from reached as r
left join (
    select distinct s.class_key
    from spared as s
) as t on t.class_key = r.class_key
where r.direction < 0 and r.spared_milli > 0 and r.spared_cents > 0 and t.class_key is null
