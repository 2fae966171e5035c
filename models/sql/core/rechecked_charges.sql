-- One row per rechecked request, kind and name of charge: what the tariff makes of it, discounts with what they reduce.
with lines as (
    select
        p.request_id,
        l.charge_kind,
        case when l.charge_name = 'discount' then 'base' else l.charge_name end as charge_name,
        l.amount_cents
    from rechecked.priced as p
    inner join rechecked.class_charges as l on l.price_class_key = p.price_class_key
    where p.lacking is null and (l.charge_kind = 'base' or l.charge_name <> 'discount')
    union all
    select
        p.request_id,
        'surcharge' as charge_kind,
        s.surcharge as charge_name,
        d.discount_cents as amount_cents
    from rechecked.priced as p
    inner join rechecked.price_classes as c on c.price_class_key = p.price_class_key
    inner join rechecked.surcharge_class_charges as d on d.surcharge_class_key = c.surcharge_class_key
    inner join shop.tariff_surcharges as s on s.surcharge_key = d.surcharge_key
    where p.lacking is null and d.discount_cents is not null
    union all
    select
        p.request_id,
        'fuel' as charge_kind,
        'fuel' as charge_name,
        p.fuel_cents as amount_cents
    from rechecked.priced as p
    where p.lacking is null and p.fuel_cents <> 0
)

select
    l.request_id, l.charge_kind, l.charge_name,
    cast(sum(l.amount_cents) as bigint) as amount_cents
from lines as l
group by l.request_id, l.charge_kind, l.charge_name
