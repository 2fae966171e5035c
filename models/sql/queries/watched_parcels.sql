-- One row per watched cause, week and claim, parcel or surcharge that its chart counts in the week.
with reported as (
    select
        p.item_type,
        cast(date_trunc('week', c.opened_on) as date) as week_on,
        c.parcel_id,
        c.loss_cents as amount_cents
    from core.claims as c
    inner join core.parcels as p on p.parcel_id = c.parcel_id
    where p.has_bench_log or p.has_charges
)

select 'damage: all item types' as cause, r.week_on, r.parcel_id, r.amount_cents
from reported as r
union all
select 'damage: ' || r.item_type as cause, r.week_on, r.parcel_id, r.amount_cents
from reported as r
union all
select 'carriage: ' || c.carrier as cause, cast(date_trunc('week', c.shipped_on) as date) as week_on, c.parcel_id,
    c.billed_cents as amount_cents
from marts.parcel_costs as c
where c.base_cents <> 0 and not c.is_account
union all
select
    substr('surcharge: ' || coalesce(c.surcharge, c.charge_code) || ', ' || p.carrier, 1, 200) as cause,
    cast(date_trunc('week', p.shipped_on) as date) as week_on,
    c.parcel_id, c.amount_cents
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.charge_kind = 'surcharge' and c.amount_cents > 0 and not c.is_account
