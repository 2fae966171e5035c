-- One row per tariff, service, carton and cut height: the sides that the catalogue states, as the carrier would round them.
with billed as (
    select
        b.tariff_key, b.service, b.carton_code, b.effective_from, b.cut_height_in,
        min(b.first_on) as shipped_on
    from core.billed_side_counts as b
    where b.effective_from is not null
    group by b.tariff_key, b.service, b.carton_code, b.effective_from, b.cut_height_in
)

select
    cast(b.tariff_key as varchar) || '/' || b.service || '/' || b.carton_code || '/' || cast(b.effective_from as varchar)
    || '/' || coalesce(cast(b.cut_height_in as varchar), '') as request_id,
    t.carrier,
    b.service,
    cast(null as varchar) as zone,
    b.shipped_on,
    c.outside_length_in as length_in,
    c.outside_width_in as width_in,
    c.outside_height_in - c.inside_height_in + coalesce(b.cut_height_in, c.inside_height_in) as height_in,
    true as is_rectangular,
    cast(null as double) as scale_weight_lb,
    cast(null as boolean) as is_residential,
    cast(null as varchar) as destination_prefix,
    cast(null as bigint) as declared_value_cents,
    'asked' as sides_source
from billed as b
inner join shop.tariffs as t on t.tariff_key = b.tariff_key
inner join core.cartons as c on c.carton_code = b.carton_code and c.effective_from = b.effective_from
