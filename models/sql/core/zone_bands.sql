-- One row per carrier and zone in the records, and the band of zones that it is pooled with, by its number. How far a zone
-- is no record says, only what the carrier calls it; a letter or region is a band of its own.
-- Bands pool zones whose parcels are too few to judge alone. A zone that a chart or other bills give is no record: its
-- parcels are of the band `unknown`.
with named as (
    select distinct
        l.carrier,
        coalesce(l.zone, 'unknown') as zone,
        case when translate(l.zone, '0123456789', '') = '' then try_cast(l.zone as bigint) end as zone_number
    from rating.lanes as l
    union
    select
        l.carrier,
        'unknown' as zone,
        cast(null as bigint) as zone_number
    from rating.lanes as l
)

select
    n.carrier, n.zone,
    case
        when n.zone = 'unknown' then 'unknown'
        when n.zone_number is null then 'zone ' || n.zone
        when n.zone_number <= 3 then 'zones up to 3'
        when n.zone_number <= 5 then 'zones 4 and 5'
        else 'zones 6 and more'
    end as zone_band
from named as n
