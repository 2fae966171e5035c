-- One row per class, direction and charge that is nearly spared or nearly added: the least change that does it, in
-- eighths of the reach.
with tried as (
    select
        a.class_key,
        a.direction,
        a.eighth,
        p.price_class_key,
        p.base_cents,
        p.surcharge_cents,
        b.billed_weight_milli
    from core.near_miss_trials as a
    inner join nearest.priced as p on p.request_id = a.request_id and p.lacking is null
    inner join nearest.class_base_prices as b on b.price_class_key = p.price_class_key
),

near_names as (
    select distinct
        l.price_class_key,
        l.charge_name
    from nearest.class_charges as l
    where l.charge_kind = 'surcharge'
),

compared as (
    select
        n.class_key,
        n.change,
        n.direction,
        n.charge_name,
        t.eighth,
        t.base_cents,
        t.surcharge_cents,
        case
            when n.charge_name = 'rated weight' then t.billed_weight_milli < b.billed_weight_milli
            when n.direction < 0 then m.charge_name is null
            else m.charge_name is not null
        end as does_it
    from core.near_miss_changes as n
    inner join core.class_parcels as c on c.class_key = n.class_key
    inner join rating.class_base_prices as b on b.price_class_key = c.price_class_key
    inner join tried as t on t.class_key = n.class_key and t.direction = n.direction
    left join near_names as m on m.price_class_key = t.price_class_key and m.charge_name = n.charge_name
),

ranked as (
    select
        c.*,
        row_number() over (
            partition by c.class_key, c.direction, c.charge_name
            order by c.eighth, c.base_cents + c.surcharge_cents, c.change, c.base_cents
        ) as place
    from compared as c
    where c.does_it
)

select
    r.class_key,
    r.direction,
    r.charge_name,
    r.change,
    r.eighth,
    r.base_cents,
    r.surcharge_cents
from ranked as r
where r.place = 1
