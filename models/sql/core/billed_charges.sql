-- One row per parcel, kind and name of charge that the tariff could explain: what was billed, repeated lines left out.
-- A surcharge that the charge-code map does not name takes its name from the tariff that uses the code.
with tariff_names as (
    select
        t.carrier,
        s.charge_code,
        min(s.surcharge) as surcharge
    from shop.tariff_surcharges as s
    inner join shop.tariffs as t on t.tariff_key = s.tariff_key
    group by t.carrier, s.charge_code
)

select
    c.parcel_id,
    c.charge_kind,
    case c.charge_kind
        when 'surcharge'
            then case when c.surcharge = lower(c.charge_code) then coalesce(n.surcharge, c.surcharge) else c.surcharge end
        when 'unmapped' then c.charge_code
        else c.charge_kind
    end as charge_name,
    min(c.invoiced_on) as invoiced_on,
    min(c.invoice_number) as invoice_number,
    min(c.line_number) as line_number,
    cast(sum(c.amount_cents) as bigint) as billed_cents
from core.charge_lines as c
left join core.repeated_lines as r
    on r.carrier = c.carrier and r.invoice_number = c.invoice_number and r.line_number = c.line_number
left join tariff_names as n on n.carrier = c.carrier and n.charge_code = c.charge_code
where not c.is_account and r.line_number is null and c.charge_kind in ('base', 'surcharge', 'fuel', 'unmapped')
group by
    c.parcel_id,
    c.charge_kind,
    case c.charge_kind
        when 'surcharge'
            then case when c.surcharge = lower(c.charge_code) then coalesce(n.surcharge, c.surcharge) else c.surcharge end
        when 'unmapped' then c.charge_code
        else c.charge_kind
    end
