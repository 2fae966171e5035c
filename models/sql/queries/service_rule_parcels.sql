-- One row per parcel of a rule of services, of the last twelve months.
select
    r.item_type, r.carrier, r.service, r.zone_low, r.other_carrier, r.other_service,
    m.parcel_id,
    m.expected_cents as amount_cents
from analysis.service_rules as r
inner join shop.tariffs as t on t.carrier = r.other_carrier
inner join shop.tariff_services as o on o.tariff_key = t.tariff_key and o.service = r.other_service
inner join analysis.parcel_services as s on s.other_service_key = o.service_key
inner join analysis.compared_parcels as m
    on m.parcel_number = s.parcel_number
    and (
        m.zone is not distinct from r.zone_low
        or try_cast(m.zone as bigint) between try_cast(r.zone_low as bigint) and try_cast(r.zone_high as bigint)
    )
inner join core.parcels as p
    on p.parcel_id = m.parcel_id and p.item_type = r.item_type and p.carrier = r.carrier and p.service = r.service
where
    s.other_cents is not null
    and p.shipped_month > (select cast(max(x.shipped_month) - interval '12' month as date) from core.parcels as x)
