-- One row per carrier, surcharge, item type, service, month and week of shipping, beginning on Monday: parcels that were
-- charged it. A week that two months share has a row in each.
select
    p.carrier,
    coalesce(c.surcharge, c.charge_code) as surcharge,
    p.item_type,
    coalesce(p.service, 'unknown') as service,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as week_on,
    count(distinct c.parcel_id) as charged_parcel_count
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.charge_kind = 'surcharge' and c.amount_cents > 0 and not c.is_account
group by
    p.carrier, coalesce(c.surcharge, c.charge_code), p.item_type, coalesce(p.service, 'unknown'), p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date)
