-- One row per parcel of the months judged: what a carrier could know of it, what its tariff expects, in how many days it was
-- promised to be there, and what keeps it from being compared with any other service. A zone without a price of its own is
-- carried as the zone whose prices hold for it.
with offered as (
    select distinct
        d.shipped_on,
        t.carrier,
        s.service
    from (
        select distinct l.shipped_on
        from rating.lanes as l
        where l.shipped_on >= cast($since as date)
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
),

-- What holds for all parcels of a lane is asked once for it.
lanes as (
    select
        l.lane_key,
        coalesce(own.promised_days, every.promised_days) as promised_days,
        coalesce(n.service_count, 0) = case when o.service is null then 0 else 1 end as is_alone
    from rating.lanes as l
    left join shop.tariff_promises as own on own.service_key = l.service_key and own.zone = l.zone
    left join shop.tariff_promises as every on every.service_key = l.service_key and every.zone = l.priced_zone
    left join counted as n on n.shipped_on = l.shipped_on
    left join offered as o on o.shipped_on = l.shipped_on and o.carrier = l.carrier and o.service = l.service
)

select
    row_number() over (order by r.request_id) as parcel_number,
    r.request_id as parcel_id,
    r.shipped_on, r.carrier, r.service, r.zone, r.length_in, r.width_in, r.height_in, r.is_rectangular,
    r.scale_weight_lb, r.is_residential, r.destination_prefix, r.declared_value_cents,
    q.expected_cents,
    l.promised_days,
    case
        when l.is_alone then 'no other service in a tariff'
        when s.parcel_id is not null then 'part of a shipment of several parcels'
        when q.expected_cents is null then q.lacking
        when r.destination_prefix is null then 'destination unknown'
        when l.promised_days is null then 'no days promised for the service used'
    end as not_compared
from rating.requests as r
inner join rating.priced as q on q.request_id = r.request_id
left join lanes as l on l.lane_key = q.lane_key
left join core.shipment_parcels as s on s.parcel_id = r.request_id
where r.shipped_on >= cast($since as date)
