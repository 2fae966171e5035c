-- One row per request: its lane, its size, and the few numbers that decide its price.
-- Parcels alike in lane class, conditions, rated and missing weight, home delivery, place and declared steps cost the same but for
-- fuel. Unknown sides or weight stay unknown. Unknown home delivery and area count as none, an unknown declared value as
-- nothing: what a carrier adds for them is expected only where the record shows it.
with sized as (
    select
        s.service_key, s.length_in, s.width_in, s.height_in, s.is_rectangular, s.size_key,
        z.size_bits, z.size_rated_milli, z.size_density_milli
    from rating.rounded_sides as s
    inner join rating.measures as z on z.size_key = s.size_key
),

met as (
    select
        r.request_id,
        l.lane_key, l.lane_class_key, l.fuel_share_millionths, l.service_key,
        s.size_key, s.size_bits, s.size_rated_milli, s.size_density_milli,
        l.weight_step_milli, l.top_step,
        case
            when r.scale_weight_lb > 0 then cast({milli r.scale_weight_lb * l.weight_per_lb} as bigint)
        end as scale_milli,
        l.has_residential and coalesce(r.is_residential, false) as is_home,
        coalesce(p.place_key, 0) as place_key,
        least(
            cast(ceil(coalesce(r.declared_value_cents, 0) / l.declared_grain_cents) as bigint), l.declared_most_steps
        ) as declared_steps
    from rating.requests as r
    left join rating.lanes as l on {alike l, r in carrier?, service?, zone?, shipped_on}
    left join sized as s
        on s.service_key = l.service_key
        and {alike s, r in length_in, width_in, height_in}
        and s.is_rectangular = coalesce(r.is_rectangular, true)
    left join rating.places as p on p.service_key = l.service_key and p.destination_prefix = r.destination_prefix
)

select
    m.request_id, m.lane_key, m.lane_class_key, m.fuel_share_millionths, m.size_key,
    c.scale_band,
    m.size_bits + c.scale_bits as goods_bits,
    case
        when m.size_key is not null and c.scale_band is not null then greatest(c.scale_rated_milli, m.size_rated_milli)
    end as rated_weight_milli,
    greatest(m.size_density_milli - c.scale_rated_milli, 0) as missing_weight_milli,
    m.is_home, m.place_key, m.declared_steps
from met as m
left join rating.weight_bands as c
    on c.service_key = m.service_key
    and c.weight_step_number = least(cast(ceil(m.scale_milli / m.weight_step_milli) as bigint), m.top_step)
    and c.first_milli <= m.scale_milli
    and c.last_milli >= m.scale_milli
