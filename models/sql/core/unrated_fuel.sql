-- One row per parcel with charges that its tariff does not rate: how much of the billed fuel may be taken on them.
-- Whether a carrier takes fuel on such a charge is not known: on none, one, all but one or all of them is tried. The
-- nearest that leaves nothing over explains it, else the most that the billed fuel covers; of more than three charges
-- any part of them may bear fuel.
with charges as (
    select
        u.parcel_id,
        cast(sum(u.billed_cents) as bigint) as all_cents,
        count(*) as charge_count
    from core.unrated_charges as u
    group by u.parcel_id
),

bases as (
    select
        c.parcel_id,
        cast(0 as bigint) as extra_cents
    from charges as c
    union
    select
        c.parcel_id,
        c.all_cents as extra_cents
    from charges as c
    union
    select
        u.parcel_id,
        u.billed_cents as extra_cents
    from core.unrated_charges as u
    union
    select
        u.parcel_id,
        c.all_cents - u.billed_cents as extra_cents
    from core.unrated_charges as u
    inner join charges as c on c.parcel_id = u.parcel_id
),

tried as (
    select
        f.parcel_id,
        f.fuel_cents,
        f.due_cents,
        f.is_other_base,
        b.extra_cents > 0 as has_extra,
        c.charge_count,
        {amount (f.billed_fuelled_cents + b.extra_cents) * f.fuel_share_millionths by f.} - f.due_cents as on_extra_cents,
        {amount (f.billed_fuelled_cents + c.all_cents) * f.fuel_share_millionths by f.} - f.due_cents as on_all_cents
    from bases as b
    inner join charges as c on c.parcel_id = b.parcel_id
    inner join core.billed_fuel as f on f.parcel_id = b.parcel_id
)

select
    t.parcel_id,
    cast(
        case
            when max(t.charge_count) > 3
                then least(greatest(max(t.fuel_cents - t.due_cents), 0), greatest(max(t.on_all_cents), 0))
            when bool_or(abs(t.fuel_cents - t.due_cents - t.on_extra_cents) <= 1)
                then min(case when abs(t.fuel_cents - t.due_cents - t.on_extra_cents) <= 1 then t.on_extra_cents end)
            when bool_or(t.is_other_base) then 0
            else coalesce(max(case when t.on_extra_cents <= t.fuel_cents - t.due_cents then t.on_extra_cents end), 0)
        end as bigint
    ) as on_unrated_cents
from tried as t
group by t.parcel_id
