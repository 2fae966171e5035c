-- One row per parcel and surcharge that either tariff charges: what each makes of it, discounts apart.
select
    l.parcel_id,
    l.charge_name as surcharge,
    {sums l.before_cents, l.after_cents}
from (
    select
        b.parcel_id, b.charge_name,
        b.amount_cents as before_cents,
        0 as after_cents
    from core.expected_charges as b
    where b.charge_kind = 'surcharge' and b.charge_name <> 'discount'
    union all
    select
        a.parcel_id, a.charge_name,
        0 as before_cents,
        a.amount_cents as after_cents
    from whatif.expected_charges as a
    where a.charge_kind = 'surcharge' and a.charge_name <> 'discount'
) as l
group by l.parcel_id, l.charge_name
