-- One row per month, item type, carrier, service and zone band: what the margin bridge compares.
select
    m.shipped_month, m.item_type, m.carrier, m.service, m.zone_band,
    cast(sum(m.parcel_count) as bigint) as parcel_count,
    {each all: cast(sum(m.$_cents) as bigint) as $_cents}
from marts.margin_cells as m
group by m.shipped_month, m.item_type, m.carrier, m.service, m.zone_band
order by m.shipped_month, m.item_type, m.carrier, m.service, m.zone_band
