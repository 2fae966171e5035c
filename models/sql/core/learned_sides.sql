-- One row per tariff, service, carton and cut height: the sides that the carrier billed for it, each at its median.
-- By tariff and service, since these decide how a carrier rounds what it measured.
with counted as (
    select
        c.tariff_key, c.service, c.carton_code, c.cut_height_in, c.side, c.billed_in,
        cast(sum(c.parcel_count) as bigint) as parcel_count
    from core.billed_side_counts as c
    group by c.tariff_key, c.service, c.carton_code, c.cut_height_in, c.side, c.billed_in
),

ranked as (
    select
        c.*,
        cast(
            sum(c.parcel_count) over (
                partition by c.tariff_key, c.service, c.carton_code, c.cut_height_in, c.side order by c.billed_in
            ) as bigint
        ) as up_to,
        cast(
            sum(c.parcel_count) over (
                partition by c.tariff_key, c.service, c.carton_code, c.cut_height_in, c.side
            ) as bigint
        ) as total
    from counted as c
),

medians as (
    select
        r.tariff_key, r.service, r.carton_code, r.cut_height_in, r.side,
        max(r.total) as parcel_count,
        (
            min(case when r.up_to > floor((r.total - 1) / 2) then r.billed_in end)
            + min(case when r.up_to > floor(r.total / 2) then r.billed_in end)
        ) / 2 as learned_in
    from ranked as r
    group by r.tariff_key, r.service, r.carton_code, r.cut_height_in, r.side
)

select
    m.tariff_key, m.service, m.carton_code, m.cut_height_in,
    max(m.parcel_count) as parcel_count,
    max(case when m.side = 'longest side' then m.learned_in end) as learned_length_in,
    max(case when m.side = 'second side' then m.learned_in end) as learned_width_in,
    max(case when m.side = 'shortest side' then m.learned_in end) as learned_height_in
from medians as m
group by m.tariff_key, m.service, m.carton_code, m.cut_height_in
