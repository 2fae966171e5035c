-- One row per parcel to be rated: what a carrier could know of it.
-- Sides are the measured ones; else those learned from at least five bills of the same carton, cut and service; else the
-- outside of the carton by its name, cut as the bench log says. A zone that is not on record is the tariff's chart's,
-- else the one that bills teach.
with packed as (
    select
        p.parcel_id,
        case
            when p.length_in is not null then 'measured'
            when l.tariff_key is not null then 'learned'
            when c.outside_length_in is not null then 'carton'
            else 'unknown'
        end as sides_source,
        l.learned_length_in, l.learned_width_in, l.learned_height_in,
        c.outside_length_in as carton_length_in,
        c.outside_width_in as carton_width_in,
        c.outside_height_in - c.inside_height_in + coalesce(p.cut_height_in, c.inside_height_in) as carton_height_in
    from core.parcels as p
    left join core.cartons as c on c.carton_code = p.carton_code and {valid c on p.shipped_on}
    left join core.tariff_days as d
        on d.carrier = p.carrier and d.service = coalesce(p.service, '') and d.shipped_on = p.shipped_on
    left join core.learned_sides as l
        on l.tariff_key = d.tariff_key
        and {alike l, p in service, carton_code, cut_height_in?}
        and l.parcel_count >= 5
)

select
    p.parcel_id as request_id,
    p.carrier, p.service,
    coalesce(p.zone, z.zone) as zone,
    p.shipped_on,
    case k.sides_source
        when 'measured' then p.length_in
        when 'learned' then k.learned_length_in
        else k.carton_length_in
    end as length_in,
    case k.sides_source
        when 'measured' then p.width_in
        when 'learned' then k.learned_width_in
        else k.carton_width_in
    end as width_in,
    case k.sides_source
        when 'measured' then p.height_in
        when 'learned' then k.learned_height_in
        else k.carton_height_in
    end as height_in,
    p.is_rectangular, p.scale_weight_lb, p.is_residential, p.destination_prefix, p.declared_value_cents,
    k.sides_source
from core.parcels as p
inner join packed as k on k.parcel_id = p.parcel_id
left join core.parcel_zones as z on z.parcel_id = p.parcel_id
