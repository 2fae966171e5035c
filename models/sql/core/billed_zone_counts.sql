-- One row per month of shipping, carrier, service, origin (as the tariff states it; empty where it does not), destination,
-- zone by the tariff's chart and zone as billed: how many parcels.
with billed as (
    select
        p.shipped_month, p.carrier, p.service,
        coalesce(d.ships_from, '') as ships_from,
        {postal p.destination_prefix} as destination_code,
        c.chart_prefix,
        c.zone as charted_zone,
        b.zone
    from core.parcels as p
    inner join core.billed_parcels as b on b.parcel_id = p.parcel_id
    left join core.tariff_days as d on d.carrier = p.carrier and d.service = p.service and d.shipped_on = p.shipped_on
    left join core.charted_zones as c
        on c.tariff_key = d.tariff_key and c.service = p.service and c.destination_prefix = p.destination_prefix
    where
        p.service is not null and p.destination_prefix is not null and b.zone is not null
        and coalesce(b.service, p.service) = p.service
)

select
    b.shipped_month, b.carrier, b.service, b.ships_from, b.destination_code, b.chart_prefix, b.charted_zone, b.zone,
    count(*) as parcel_count
from billed as b
group by b.shipped_month, b.carrier, b.service, b.ships_from, b.destination_code, b.chart_prefix, b.charted_zone, b.zone
