-- One row per carton, cut height, side and difference: how many parcels were billed so much over the carton's name.
-- The name's sides are rounded as the carrier rounds, so that only what is more than rounding counts. `named_in` is the
-- median over the parcels.
with compared as (
    select
        b.carton_code, b.cut_height_in, b.side, b.billed_in, b.parcel_count,
        case b.side
            when 'longest side' then r.longest_side
            when 'second side' then r.second_side
            else r.shortest_side
        end / t.length_per_in as named_in
    from core.billed_side_counts as b
    inner join shop.tariffs as t on t.tariff_key = b.tariff_key
    inner join by_name.rated as r
        on r.request_id = cast(b.tariff_key as varchar) || '/' || b.service || '/' || b.carton_code || '/'
        || cast(b.effective_from as varchar) || '/' || coalesce(cast(b.cut_height_in as varchar), '')
),

stated as (
    select
        c.*,
        cast(floor((c.billed_in - c.named_in) * 100 + 0.5) / 100 as double) as bulge_in
    from compared as c
    where c.named_in is not null
),

{medians stated of named_in by carton_code, cut_height_in, side, bulge_in}

select m.carton_code, m.cut_height_in, m.side, m.bulge_in, m.parcel_count, m.named_in
from medians as m
