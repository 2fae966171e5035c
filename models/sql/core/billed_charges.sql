-- One row per parcel, kind and name of charge that the tariff could explain: what was billed, repeated lines left out.
-- A surcharge whose name no tariff of the carrier states takes its name from the one that states its code, and so does a
-- charge that nothing gives a kind.
with stated as (
    select
        t.carrier,
        s.charge_code, s.surcharge
    from shop.tariff_surcharges as s
    inner join shop.tariffs as t on t.tariff_key = s.tariff_key
    union
    select
        t.carrier,
        e.charge_code,
        e.charge_name as surcharge
    from shop.tariff_extras as e
    inner join shop.tariffs as t on t.tariff_key = e.tariff_key
),

by_code as (
    select
        s.carrier, s.charge_code,
        min(s.surcharge) as surcharge
    from stated as s
    group by s.carrier, s.charge_code
),

names as (
    select distinct s.carrier, s.surcharge
    from stated as s
),

named as (
    select
        c.*,
        case when c.charge_kind = 'unmapped' and n.surcharge is not null then 'surcharge' else c.charge_kind end as kind,
        case
            when c.charge_kind = 'surcharge' and k.surcharge is not null then c.surcharge
            when c.charge_kind = 'surcharge' then coalesce(n.surcharge, c.surcharge)
            when c.charge_kind = 'unmapped' then coalesce(n.surcharge, c.charge_code)
            else c.charge_kind
        end as name
    from core.charge_lines as c
    left join by_code as n on n.carrier = c.carrier and n.charge_code = c.charge_code
    left join names as k on k.carrier = c.carrier and k.surcharge = c.surcharge
)

select
    c.parcel_id,
    c.kind as charge_kind,
    c.name as charge_name,
    {min c.invoiced_on, c.invoice_number, c.line_number},
    cast(sum(c.amount_cents) as bigint) as billed_cents
from named as c
left join core.repeated_lines as r
    on r.carrier = c.carrier and r.invoice_number = c.invoice_number and r.line_number = c.line_number
where not c.is_account and r.line_number is null and c.charge_kind in ('base', 'surcharge', 'fuel', 'unmapped')
group by c.parcel_id, c.kind, c.name
