-- One row per carton, cut height, side and difference: how many parcels were billed so much over the carton's name.
-- The name's sides are rounded as the carrier rounds, so that only what is more than rounding counts.
with named as (
    select
        p.carton_code,
        p.cut_height_in,
        t.length_per_in,
        b.billed_length_in,
        b.billed_width_in,
        b.billed_height_in,
        cast(d.tariff_key as varchar) || '/' || p.service || '/' || p.carton_code || '/'
        || cast(c.effective_from as varchar) || '/' || coalesce(cast(p.cut_height_in as varchar), '') as request_id
    from core.parcels as p
    inner join core.billed_parcels as b on b.parcel_id = p.parcel_id and b.billed_length_in is not null
    inner join core.tariff_days as d on d.carrier = p.carrier and d.shipped_on = p.shipped_on
    inner join shop.tariffs as t on t.tariff_key = d.tariff_key
    inner join core.cartons as c
        on c.carton_code = p.carton_code
        and p.shipped_on >= c.effective_from
        and (c.effective_before is null or p.shipped_on < c.effective_before)
),

compared as (
    select
        n.carton_code,
        n.cut_height_in,
        n.billed_length_in,
        n.billed_width_in,
        n.billed_height_in,
        r.longest_side / n.length_per_in as named_length_in,
        r.second_side / n.length_per_in as named_width_in,
        r.shortest_side / n.length_per_in as named_height_in
    from named as n
    inner join by_name.rated as r on r.request_id = n.request_id
),

by_side as (
    select
        c.carton_code,
        c.cut_height_in,
        'longest side' as side,
        c.named_length_in as named_in,
        c.billed_length_in as billed_in
    from compared as c
    union all
    select
        c.carton_code,
        c.cut_height_in,
        'second side' as side,
        c.named_width_in as named_in,
        c.billed_width_in as billed_in
    from compared as c
    union all
    select
        c.carton_code,
        c.cut_height_in,
        'shortest side' as side,
        c.named_height_in as named_in,
        c.billed_height_in as billed_in
    from compared as c
)

select
    s.carton_code,
    s.cut_height_in,
    s.side,
    cast(floor((s.billed_in - s.named_in) * 100 + 0.5) / 100 as double) as bulge_in,
    count(*) as parcel_count,
    percentile_cont(0.5) within group (order by s.named_in) as named_in
from by_side as s
where s.named_in is not null
group by s.carton_code, s.cut_height_in, s.side, cast(floor((s.billed_in - s.named_in) * 100 + 0.5) / 100 as double)
