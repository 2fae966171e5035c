-- The parcels behind marts.margin_by_channel.
select c.shipped_month, c.item_type, c.carrier,
    case when c.is_account then 'account' else coalesce(c.service, 'unknown') end as service,
    case when c.is_account then 'account' else coalesce(c.zone, 'unknown') end as zone, c.channel, c.parcel_id, c.margin_cents as amount_cents
from marts.parcel_costs as c
