-- One row per kind and name of charge: amounts and parcels charged it, before and after.
with lines as (
    select
        l.parcel_id,
        l.charge_kind,
        l.charge_name,
        l.amount_cents as before_cents,
        0 as after_cents
    from core.expected_charges as l
    union all
    select
        l.parcel_id,
        l.charge_kind,
        l.charge_name,
        0 as before_cents,
        l.amount_cents as after_cents
    from whatif.expected_charges as l
)

select
    l.charge_kind,
    l.charge_name,
    count(distinct case when l.before_cents <> 0 then l.parcel_id end) as before_parcel_count,
    count(distinct case when l.after_cents <> 0 then l.parcel_id end) as after_parcel_count,
    cast(sum(l.before_cents) as bigint) as before_cents,
    cast(sum(l.after_cents) as bigint) as after_cents,
    cast(sum(l.after_cents - l.before_cents) as bigint) as change_cents
from lines as l
inner join whatif.pairs as p on p.parcel_id = l.parcel_id
where p.is_compared
group by l.charge_kind, l.charge_name
order by l.charge_kind, change_cents desc, l.charge_name
