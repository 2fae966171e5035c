-- One row per month of shipping, carrier and day of shipping that the carrier's base charges state.
select distinct
    p.shipped_month,
    c.carrier,
    c.shipped_on as stated_on
from core.charge_lines as c
inner join core.parcels as p on p.parcel_id = c.parcel_id
where c.charge_kind = 'base'
