-- One row per kind and name of charge: expected and billed beside each other, and the measure that made it apply.
with asked as (
    select cast(? as varchar) as parcel_id
),

expected_lines as (
    select
        e.charge_kind,
        case
            when e.charge_kind = 'base' then 'base'
            when e.charge_name <> 'discount' then e.charge_name
            else coalesce((
                select min(s.surcharge)
                from rating.priced as p
                inner join rating.price_classes as c on c.price_class_key = p.price_class_key
                inner join rating.surcharge_class_charges as d on d.surcharge_class_key = c.surcharge_class_key
                inner join shop.tariff_surcharges as s on s.surcharge_key = d.surcharge_key
                where p.request_id = a.parcel_id and d.discount_cents = e.amount_cents
            ), 'discount')
        end as charge_name,
        e.amount_cents, e.measure, e.measured, e.threshold
    from core.expected_charges as e
    inner join asked as a on a.parcel_id = e.parcel_id
    where e.charge_kind <> 'tax' or e.amount_cents > 0
),

expected as (
    select
        e.charge_kind, e.charge_name,
        cast(sum(e.amount_cents) as bigint) as expected_cents,
        {max e.measure, e.measured, e.threshold}
    from expected_lines as e
    group by e.charge_kind, e.charge_name
),

billed as (
    select b.charge_kind, b.charge_name, b.billed_cents
    from temp.billed_charges as b
    union all
    select
        'tax' as charge_kind,
        'tax' as charge_name,
        cast(sum(c.amount_cents) as bigint) as billed_cents
    from core.charge_lines as c
    inner join asked as a on a.parcel_id = c.parcel_id
    where c.charge_kind = 'tax' and exists (select 1 from expected as e where e.charge_kind = 'tax')
    having count(*) > 0
),

unchecked as (
    select
        d.charge_kind, d.charge_name,
        max(d.difference_class) as difference_class
    from marts.billing_differences as d
    inner join asked as a on a.parcel_id = d.parcel_id
    where d.difference_class in ('not checked', 'option or event') and d.charge_kind <> 'fuel'
    group by d.charge_kind, d.charge_name
)

select
    coalesce(e.charge_name, b.charge_name) as charge_name,
    e.expected_cents,
    b.billed_cents,
    e.measure, e.measured, e.threshold,
    u.difference_class
from expected as e
full join billed as b on b.charge_kind = e.charge_kind and b.charge_name = e.charge_name
left join unchecked as u on u.charge_kind = b.charge_kind and u.charge_name = b.charge_name
order by
    case coalesce(e.charge_kind, b.charge_kind) when 'base' then 1 when 'surcharge' then 2 else 3 end, charge_name
