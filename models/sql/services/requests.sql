-- One row per parcel and service that can be compared: the parcel as it was, on that service.
select
    w.request_id,
    w.other_carrier as carrier,
    w.other_service as service,
    w.other_zone as zone,
    r.shipped_on,
    r.length_in,
    r.width_in,
    r.height_in,
    r.is_rectangular,
    r.scale_weight_lb,
    r.is_residential,
    r.destination_prefix,
    r.declared_value_cents
from services.ways as w
inner join rating.requests as r on r.request_id = w.parcel_id
where w.not_compared is null
