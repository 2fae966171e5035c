-- One row per parcel of the months judged: how it was sent, what its tariff expects, in how many days it was promised to be there,
-- and what keeps it from being compared with any other service. A zone without a price of its own is carried as the zone
-- whose prices hold for it.
with offered as (
    select distinct
        d.shipped_on,
        t.carrier,
        s.service
    from (
        select distinct q.shipped_on
        from core.parcels as q
        where q.shipped_month >= cast($since as date)
    ) as d
    inner join shop.tariffs as t on {in_force t on d.shipped_on}
    inner join shop.tariff_services as s on s.tariff_key = t.tariff_key
),

counted as (
    select
        o.shipped_on,
        count(*) as service_count
    from offered as o
    group by o.shipped_on
)

select
    p.parcel_id,
    p.shipped_on,
    p.carrier,
    p.service,
    r.zone,
    p.destination_prefix,
    q.expected_cents,
    coalesce(own.promised_days, every.promised_days) as promised_days,
    case
        when coalesce(n.service_count, 0) = case when o.service is null then 0 else 1 end then 'no other service in a tariff'
        when s.parcel_id is not null then 'part of a shipment of several parcels'
        when q.expected_cents is null then q.lacking
        when p.destination_prefix is null then 'destination unknown'
        when coalesce(own.promised_days, every.promised_days) is null then 'no days promised for the service used'
    end as not_compared
from core.parcels as p
inner join rating.requests as r on r.request_id = p.parcel_id
inner join rating.priced as q on q.request_id = p.parcel_id
left join rating.lanes as l on l.lane_key = q.lane_key
left join shop.tariff_promises as own on own.service_key = l.service_key and own.zone = r.zone
left join shop.tariff_promises as every on every.service_key = l.service_key and every.zone = l.priced_zone
left join counted as n on n.shipped_on = p.shipped_on
left join offered as o on o.shipped_on = p.shipped_on and o.carrier = p.carrier and o.service = p.service
left join core.shipment_parcels as s on s.parcel_id = p.parcel_id
where p.shipped_month >= cast($since as date)
