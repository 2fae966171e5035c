-- One row per tariff, service, carton and cut height: the sides that the catalogue states, as the carrier would round them.
with named as (
    select
        d.tariff_key,
        p.carrier,
        p.service,
        p.carton_code,
        p.cut_height_in,
        c.effective_from,
        min(p.zone) as zone,
        min(p.shipped_on) as shipped_on,
        min(c.outside_length_in) as length_in,
        min(c.outside_width_in) as width_in,
        min(c.outside_height_in - c.inside_height_in + coalesce(p.cut_height_in, c.inside_height_in)) as height_in
    from core.parcels as p
    inner join core.tariff_days as d on d.carrier = p.carrier and d.shipped_on = p.shipped_on
    inner join core.cartons as c
        on c.carton_code = p.carton_code
        and p.shipped_on >= c.effective_from
        and (c.effective_before is null or p.shipped_on < c.effective_before)
    where p.service is not null
    group by d.tariff_key, p.carrier, p.service, p.carton_code, p.cut_height_in, c.effective_from
)

select
    cast(n.tariff_key as varchar) || '/' || n.service || '/' || n.carton_code || '/' || cast(n.effective_from as varchar)
    || '/' || coalesce(cast(n.cut_height_in as varchar), '') as request_id,
    n.carrier,
    n.service,
    n.zone,
    n.shipped_on,
    n.length_in,
    n.width_in,
    n.height_in,
    true as is_rectangular,
    cast(null as double) as scale_weight_lb,
    cast(null as boolean) as is_residential,
    cast(null as varchar) as destination_prefix,
    cast(null as bigint) as declared_value_cents,
    'asked' as sides_source
from named as n
