-- The parcels behind marts.surcharge_frequency.
select p.shipped_month, p.carrier, c.surcharge, c.parcel_id, c.amount_cents
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.charge_kind = 'surcharge' and not c.is_account
