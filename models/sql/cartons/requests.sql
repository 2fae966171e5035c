-- One row per class and carton that holds its contents: what the carrier would know of the parcel in that carton.
select
    cast(c.class_key as varchar) || '/' || cast(o.option_key as varchar) as request_id,
    c.class_key,
    o.option_key,
    r.carrier,
    r.service,
    r.zone,
    r.shipped_on,
    o.length_in,
    o.width_in,
    o.height_in,
    o.is_rectangular,
    r.scale_weight_lb,
    r.is_residential,
    r.destination_prefix,
    r.declared_value_cents
from cartons.classes as c
inner join rating.requests as r on r.request_id = c.example_parcel_id
inner join cartons.pairs as p on p.contents_key = c.contents_key
inner join cartons.offers as o on o.option_key = p.option_key
where
    (o.effective_from is null or r.shipped_on >= o.effective_from)
    and (o.effective_before is null or r.shipped_on < o.effective_before)
