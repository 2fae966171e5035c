-- One row per parcel whose zone is not on record, to a beginning of postal codes that now teaches another zone.
with differing as (
    select l.carrier, l.service, l.ships_from, l.destination_prefix
    from (select n.* from core.learned_zones as n union all select b.* from history.core.learned_zones as b) as l
    group by l.carrier, l.service, l.ships_from, l.destination_prefix, l.zone, l.is_decided, l.is_certain
    having count(*) = 1
),

lacking as (
    select p.parcel_id, p.carrier, p.service, {postal p.destination_prefix} as destination_code
    from history.core.parcels as p
    where p.zone is null and p.destination_prefix is not null
)

select distinct l.parcel_id
from lacking as l
inner join differing as d
    on d.carrier = l.carrier
    and d.service = l.service
    and starts_with(l.destination_code, d.destination_prefix)
