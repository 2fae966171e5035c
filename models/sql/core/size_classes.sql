-- One row per parcel with a billed weight: its class by the weight and, where billed, the longest side, in round figures of
-- the shop's own units. It stands for an item type where a sale line has a title alone, and no rule makes one of it.
with ladder as (
    {values unit, bound in 'lb' 1, 'lb' 5, 'lb' 10, 'lb' 20, 'lb' 50, 'lb' 70,
    'kg' 1, 'kg' 2, 'kg' 5, 'kg' 10, 'kg' 20, 'kg' 30,
    'in' 12, 'in' 24, 'in' 36, 'in' 48, 'in' 72,
    'cm' 30, 'cm' 60, 'cm' 90, 'cm' 120, 'cm' 180}
),

billed as (
    select
        c.parcel_id,
        s.shown_weight_unit as weight_unit,
        s.shown_length_unit as length_unit,
        max(c.billed_weight_lb) * s.shown_weight_factor as weight,
        max(c.billed_length_in) * s.shown_length_factor as side
    from accepted.charges as c
    cross join shop.settings as s
    where c.parcel_id is not null
    group by c.parcel_id, s.shown_weight_unit, s.shown_length_unit, s.shown_weight_factor, s.shown_length_factor
),

-- A measure that was read in another unit may miss a round figure by a hair.
bounded as (
    select
        b.parcel_id, b.weight_unit, b.length_unit,
        b.side is not null as has_side,
        min(case when k.unit = b.weight_unit and b.weight <= k.bound + 1e-3 then k.bound end) as weight_bound,
        max(case when k.unit = b.weight_unit then k.bound end) as last_weight,
        min(case when k.unit = b.length_unit and b.side <= k.bound + 1e-3 then k.bound end) as side_bound,
        max(case when k.unit = b.length_unit then k.bound end) as last_side
    from billed as b
    cross join ladder as k
    where b.weight is not null
    group by b.parcel_id, b.weight_unit, b.length_unit, b.side is not null
)

select
    b.parcel_id,
    coalesce('up to ' || cast(b.weight_bound as varchar), 'over ' || cast(b.last_weight as varchar))
    || ' ' || b.weight_unit
    || case
        when b.has_side
            then ', ' || coalesce('up to ' || cast(b.side_bound as varchar), 'over ' || cast(b.last_side as varchar))
                || ' ' || b.length_unit
        else ''
    end as size_class
from bounded as b
