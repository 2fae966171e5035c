-- One row per parcel to be rated: what a carrier could know of it.
-- Sides are the measured ones, else the outside of the carton it was packed in, cut as the bench log says.
with packed as (
    select
        p.parcel_id,
        p.length_in is not null as is_measured,
        c.outside_length_in as carton_length_in,
        c.outside_width_in as carton_width_in,
        c.outside_height_in - c.inside_height_in + coalesce(p.cut_height_in, c.inside_height_in) as carton_height_in
    from core.parcels as p
    left join core.cartons as c
        on c.carton_code = p.carton_code
        and p.shipped_on >= c.effective_from
        and (c.effective_before is null or p.shipped_on < c.effective_before)
)

select
    p.parcel_id as request_id,
    p.carrier,
    p.service,
    p.zone,
    p.shipped_on,
    case when k.is_measured then p.length_in else k.carton_length_in end as length_in,
    case when k.is_measured then p.width_in else k.carton_width_in end as width_in,
    case when k.is_measured then p.height_in else k.carton_height_in end as height_in,
    p.is_rectangular,
    p.scale_weight_lb,
    p.is_residential,
    p.destination_prefix,
    p.declared_value_cents,
    case
        when k.is_measured then 'measured'
        when k.carton_length_in is not null then 'carton'
        else 'unknown'
    end as sides_source
from core.parcels as p
inner join packed as k on k.parcel_id = p.parcel_id
