-- One row per kind and name of charge: amounts and parcels charged it, before and after.
with lines as (
    select
        l.parcel_id, l.charge_kind, l.charge_name,
        l.amount_cents as before_cents,
        0 as after_cents
    from core.expected_charges as l
    union all
    select
        l.parcel_id, l.charge_kind, l.charge_name,
        0 as before_cents,
        l.amount_cents as after_cents
    from whatif.expected_charges as l
),

compared as (
    select p.*
    from whatif.pairs as p
    where p.is_compared
),

-- What is taken on the base price is as far off as it.
widths as (
    select
        'base' as charge_kind,
        'base' as charge_name,
        sum(c.base_within_cents) as within_cents
    from compared as c
    having bool_or(c.is_learned) and count(c.base_within_cents) = count(*)
    union all
    select
        'fuel' as charge_kind,
        'fuel' as charge_name,
        sum(c.fuel_within_cents) as within_cents
    from compared as c
    having bool_or(c.is_learned) and count(c.fuel_within_cents) = count(*)
)

select
    l.charge_kind, l.charge_name,
    count(distinct case when l.before_cents <> 0 then l.parcel_id end) as before_parcel_count,
    count(distinct case when l.after_cents <> 0 then l.parcel_id end) as after_parcel_count,
    {sums l.before_cents, l.after_cents},
    cast(sum(l.after_cents - l.before_cents) as bigint) as change_cents,
    cast(ceil(max(w.within_cents)) as bigint) as within_cents
from lines as l
inner join whatif.pairs as p on p.parcel_id = l.parcel_id
left join widths as w on w.charge_kind = l.charge_kind and w.charge_name = l.charge_name
where p.is_compared
group by l.charge_kind, l.charge_name
order by l.charge_kind, change_cents desc, l.charge_name
