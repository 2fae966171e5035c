-- One row per part of a plan and carton that holds it: what the carrier would know of such a parcel.
select
    a.request_id, a.carrier, a.service, a.zone, a.shipped_on, a.length_in, a.width_in, a.height_in, a.is_rectangular,
    {packed_lb a.scale_weight_lb from a to a with a.void_lb} as scale_weight_lb,
    a.is_residential, a.destination_prefix, a.declared_value_cents
from cartons.plan_asked as a
