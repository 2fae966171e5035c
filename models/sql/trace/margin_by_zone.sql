-- The parcels behind marts.margin_by_zone.
select c.shipped_month, c.item_type, c.carrier, coalesce(c.service, 'unknown') as service,
    coalesce(c.zone, 'unknown') as zone, c.channel, c.parcel_id, c.margin_cents as amount_cents
from marts.parcel_costs as c
