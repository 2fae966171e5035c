-- One row per carrier, surcharge, item type, service and day of shipping: parcels that were charged it.
select
    p.carrier,
    coalesce(c.surcharge, c.charge_code) as surcharge,
    p.item_type,
    coalesce(p.service, 'unknown') as service,
    p.shipped_on,
    count(distinct c.parcel_id) as charged_parcel_count
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.charge_kind = 'surcharge' and c.amount_cents > 0 and not c.is_account
group by p.carrier, coalesce(c.surcharge, c.charge_code), p.item_type, coalesce(p.service, 'unknown'), p.shipped_on
