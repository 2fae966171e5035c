-- One row per class of rated parcels that one change is tried on: one of them stands for all.
-- Sides longest first.
with chosen as (
    select
        c.class_key,
        max(c.change) as change,
        min(c.parcel_id) as parcel_id
    from core.parcel_classes as c
    group by c.class_key
)

select
    c.class_key, c.change, c.parcel_id,
    r.carrier, r.service, r.zone, r.shipped_on,
    {longest r.} as length_in,
    {second r.} as width_in,
    {shortest r.} as height_in,
    r.is_rectangular, r.scale_weight_lb, r.is_residential, r.destination_prefix, r.declared_value_cents,
    p.price_class_key, p.base_cents, p.surcharge_cents
from chosen as c
inner join rating.requests as r on r.request_id = c.parcel_id
inner join rating.priced as p on p.request_id = c.parcel_id
