-- One row per shipment of several parcels with a base charge: its lane, and what keeps its bill from being checked.
-- A bill is compared with the shop's own facts of every parcel: measured sides, a weight, and a zone that is certain.
with known as (
    select
        s.carrier, s.shipment_id,
        {min s.lead_parcel_id, s.parcel_count, p.lane_key},
        count(distinct p.lane_key) as lane_count,
        min(coalesce(p.lacking, case when p.request_id is null then 'parcel unknown' end)) as lacking,
        bool_and(coalesce(r.sides_source, 'unknown') = 'measured') as has_sides,
        bool_or(z.parcel_id is not null) as has_doubtful_zone
    from core.shipment_parcels as s
    left join rating.priced as p on p.request_id = s.parcel_id
    left join rating.requests as r on r.request_id = s.parcel_id
    left join core.parcel_zones as z on z.parcel_id = s.parcel_id and z.zone_source = 'bills' and not z.is_certain
    where s.is_charged
    group by s.carrier, s.shipment_id
)

select
    k.carrier, k.shipment_id,
    k.lead_parcel_id as parcel_id,
    k.parcel_count, k.lane_key,
    l.service_key,
    case
        when k.lane_count > 1 then 'parcels of several services, zones or days'
        when k.lacking is not null then k.lacking
        when t.learned_first_on is not null then 'prices learned from bills'
        when u.service_key is null then 'no rule for so many parcels'
        when not k.has_sides then 'sides not measured'
        when k.has_doubtful_zone then 'zone not certain'
    end as shipment_lacking
from known as k
left join rating.lanes as l on l.lane_key = k.lane_key and k.lane_count = 1
left join shop.tariffs as t on t.tariff_key = l.tariff_key
left join shop.tariff_shipments as u
    on u.service_key = l.service_key and u.parcels_at_least <= k.parcel_count and u.parcels_at_most >= k.parcel_count
