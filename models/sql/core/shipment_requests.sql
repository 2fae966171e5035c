-- One row per parcel of a shipment whose bill can be checked: the shop's own facts, put to the rating once more.
select
    s.parcel_id || '/parcel' as request_id,
    r.carrier,
    r.service,
    r.zone,
    r.shipped_on,
    {facts r}
from core.shipments as h
inner join core.shipment_parcels as s on s.carrier = h.carrier and s.shipment_id = h.shipment_id
inner join rating.requests as r on r.request_id = s.parcel_id
where h.shipment_lacking is null
