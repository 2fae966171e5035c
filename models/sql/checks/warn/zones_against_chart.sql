-- Zones that bills state against the tariff's zone chart; `dunnage tariff zones` shows them with their share.
select z.carrier, z.service, z.chart_prefix, z.charted_zone, z.zone, z.parcel_count, z.bill_count
from marts.zones_against_chart as z
