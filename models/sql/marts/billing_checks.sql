-- One row per month of shipping: how many parcels with a base charge could be checked against a tariff.
select
    p.shipped_month,
    count(*) as charged_count,
    count(case when r.request_id is not null and r.lacking is null and h.shipment_lacking is null then 1 end) as checked_parcel_count
from core.billed_parcels as b
inner join core.parcels as p on p.parcel_id = b.parcel_id
left join rating.priced as r on r.request_id = b.parcel_id
left join core.shipment_parcels as s on s.parcel_id = b.parcel_id
left join core.shipments as h on h.carrier = s.carrier and h.shipment_id = s.shipment_id
group by p.shipped_month
