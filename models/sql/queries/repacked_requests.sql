-- One row per sampled parcel, clearance and carton worth rating: what the carrier would know of such a parcel.
select
    o.request_id, o.carrier, o.service, o.zone, o.shipped_on, o.length_in, o.width_in, o.height_in,
    {packed_lb o.scale_weight_lb from o to o with o.void_lb} as scale_weight_lb,
    o.is_residential, o.destination_prefix, o.declared_value_cents
from repacked.offers as o
