-- One row per parcel, kind, name and cause of charge that the billed service, zone, sides and weight leave unexplained.
-- What the tariff states no rule for is not checked, nor the fuel that may be taken on it. Fuel follows what it is taken
-- on; where it does not, the bases that a carrier could have taken by mistake are tried.
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
        f.parcel_id, f.fuel_cents, f.due_cents, f.is_other_base,
        c.charge_count,
        {amount (f.billed_fuelled_cents + b.extra_cents) * f.fuel_share_millionths by f.} - f.due_cents as on_extra_cents,
        {amount (f.billed_fuelled_cents + c.all_cents) * f.fuel_share_millionths by f.} - f.due_cents as on_all_cents
    from bases as b
    inner join charges as c on c.parcel_id = b.parcel_id
    inner join core.billed_fuel as f on f.parcel_id = b.parcel_id
),

-- Whether a carrier takes fuel on a charge that the tariff does not rate is not known: on none, one, all but one or all of
-- them is tried. The nearest that leaves nothing over explains it, else the most that the billed fuel covers; of more than
-- three charges any part of them may bear fuel.
on_unrated as (
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
),

judged as (
    select
        s.*,
        u.parcel_id is not null as is_unrated,
        u.due_cents
    from core.billing_steps as s
    left join core.unrated_charges as u
        on u.parcel_id = s.parcel_id and u.charge_kind = s.charge_kind and u.charge_name = s.charge_name
),

counted as (
    select
        j.parcel_id,
        max(
            case when j.charge_kind = 'surcharge' and not j.is_unrated and j.weight_cents = 0 and j.billed_cents > 0 then 1
            else 0 end
        ) as unjustified_count,
        max(case when j.charge_kind = 'surcharge' and j.weight_cents > 0 and j.billed_cents = 0 then 1 else 0 end)
            as missing_count,
        max(case when j.charge_kind <> 'fuel' and not j.is_unrated and j.weight_cents <> j.billed_cents then 1 else 0 end)
            as left_count
    from judged as j
    group by j.parcel_id
),

classed as (
    select
        c.parcel_id, c.left_count,
        case
            when c.unjustified_count > 0 then 'surcharge not justified'
            when c.missing_count > 0 then 'surcharge missing'
            else 'unknown'
        end as main_class,
        f.is_fuel_of_base, f.is_fuel_of_surcharge, f.is_other_base, f.due_cents,
        f.fuel_cents - coalesce(n.on_unrated_cents, 0) as fuel_cents,
        coalesce(n.on_unrated_cents, 0) as on_unrated_cents
    from counted as c
    inner join core.billed_fuel as f on f.parcel_id = c.parcel_id
    left join on_unrated as n on n.parcel_id = c.parcel_id
),

parted as (
    select
        j.parcel_id, j.charge_kind, j.charge_name,
        j.billed_cents - j.weight_cents
        - case when j.charge_kind = 'fuel' then c.on_unrated_cents else 0 end as left_cents,
        case
            when j.charge_kind = 'fuel' and c.fuel_cents = c.due_cents and c.left_count > 0 then c.main_class
            when j.charge_kind = 'fuel' and c.is_other_base then 'fuel base'
            when j.charge_kind = 'fuel' and abs(c.fuel_cents - c.due_cents) <= 1 and c.left_count > 0 then c.main_class
            when j.charge_kind = 'surcharge' and j.weight_cents = 0 then 'surcharge not justified'
            when j.charge_kind = 'surcharge' and j.billed_cents = 0 then 'surcharge missing'
            when abs(j.billed_cents - j.weight_cents - case when j.charge_kind = 'fuel' then c.on_unrated_cents else 0 end)
                <= 1 then 'rounding'
            when j.charge_kind = 'base' and j.has_least_weight then 'surcharge not justified'
            else 'unknown'
        end as difference_class
    from judged as j
    inner join classed as c on c.parcel_id = j.parcel_id
    where not j.is_unrated
    union all
    select
        j.parcel_id, j.charge_kind, j.charge_name,
        coalesce(j.due_cents, j.billed_cents - j.weight_cents) as left_cents,
        case when j.due_cents is null then 'not checked' else 'option or event' end as difference_class
    from judged as j
    where j.is_unrated
    union all
    select
        j.parcel_id, j.charge_kind, j.charge_name,
        j.billed_cents - j.due_cents as left_cents,
        'other amount' as difference_class
    from judged as j
    where j.is_unrated and j.due_cents is not null
    union all
    select
        j.parcel_id, j.charge_kind, j.charge_name,
        c.on_unrated_cents as left_cents,
        'not checked' as difference_class
    from judged as j
    inner join classed as c on c.parcel_id = j.parcel_id
    where j.charge_kind = 'fuel'
)

select
    p.parcel_id, p.charge_kind, p.charge_name, p.difference_class, p.left_cents,
    c.is_fuel_of_base, c.is_fuel_of_surcharge
from parted as p
inner join classed as c on c.parcel_id = p.parcel_id
where p.left_cents <> 0
