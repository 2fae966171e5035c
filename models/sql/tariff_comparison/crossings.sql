-- One row per surcharge and way a parcel crosses its threshold: newly charged, or no longer.
with charged as (
    select
        l.parcel_id,
        l.charge_name as surcharge,
        cast(sum(l.before_cents) as bigint) as before_cents,
        cast(sum(l.after_cents) as bigint) as after_cents
    from (
        select
            b.parcel_id,
            b.charge_name,
            b.amount_cents as before_cents,
            0 as after_cents
        from core.expected_charges as b
        where b.charge_kind = 'surcharge' and b.charge_name <> 'discount'
        union all
        select
            a.parcel_id,
            a.charge_name,
            0 as before_cents,
            a.amount_cents as after_cents
        from whatif.expected_charges as a
        where a.charge_kind = 'surcharge' and a.charge_name <> 'discount'
    ) as l
    group by l.parcel_id, l.charge_name
)

select
    c.surcharge,
    case when c.before_cents = 0 then 'newly charged' else 'no longer charged' end as crossing,
    p.item_type,
    count(*) as parcel_count,
    cast(sum(c.after_cents - c.before_cents) as bigint) as change_cents
from charged as c
inner join whatif.pairs as p on p.parcel_id = c.parcel_id
where p.is_compared and (c.before_cents = 0 or c.after_cents = 0)
group by c.surcharge, case when c.before_cents = 0 then 'newly charged' else 'no longer charged' end, p.item_type
order by parcel_count desc, c.surcharge, p.item_type
