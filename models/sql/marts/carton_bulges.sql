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

counted as (
    select
        c.carton_code, c.cut_height_in, c.side,
        cast(floor((c.billed_in - c.named_in) * 100 + 0.5) / 100 as double) as bulge_in,
        c.named_in,
        cast(sum(c.parcel_count) as bigint) as parcel_count
    from compared as c
    where c.named_in is not null
    group by
        c.carton_code, c.cut_height_in, c.side,
        cast(floor((c.billed_in - c.named_in) * 100 + 0.5) / 100 as double),
        c.named_in
),

ranked as (
    select
        c.*,
        cast(
            sum(c.parcel_count) over (
                partition by c.carton_code, c.cut_height_in, c.side, c.bulge_in order by c.named_in
            ) as bigint
        ) as up_to,
        cast(
            sum(c.parcel_count) over (partition by c.carton_code, c.cut_height_in, c.side, c.bulge_in) as bigint
        ) as total
    from counted as c
)

select
    r.carton_code, r.cut_height_in, r.side, r.bulge_in,
    max(r.total) as parcel_count,
    (
        min(case when r.up_to > floor((r.total - 1) / 2) then r.named_in end)
        + min(case when r.up_to > floor(r.total / 2) then r.named_in end)
    ) / 2 as named_in
from ranked as r
group by r.carton_code, r.cut_height_in, r.side, r.bulge_in
