-- One row per beginning of postal codes that gives a parcel without a zone on record its zone, or does not since its bills
-- disagree.
select
    z.carrier, z.service, z.destination_prefix,
    case when z.is_decided then z.zone end as zone,
    z.agreeing_count, z.zone_bill_count, z.agreeing_share,
    count(*) as parcel_count
from core.parcel_zones as p
inner join core.parcels as c on c.parcel_id = p.parcel_id
inner join core.learned_zones as z
    on z.carrier = c.carrier
    and z.service = c.service
    and z.ships_from = p.ships_from
    and z.destination_prefix = p.learned_prefix
group by
    z.carrier, z.service, z.destination_prefix, z.zone, z.is_decided, z.agreeing_count, z.zone_bill_count,
    z.agreeing_share
order by parcel_count desc, z.carrier, z.service, z.destination_prefix
