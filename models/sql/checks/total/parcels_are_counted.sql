-- Every parcel counts once in each mart that counts parcels.
with known as (
    select
        count(*) as parcel_count,
        count(case when p.has_bench_log or p.has_charges then 1 end) as shipped_count
    from core.parcels as p
),

counted as (
    select 'marts.parcel_costs' as mart, count(case when not c.is_account then 1 end) as parcel_count
    from marts.parcel_costs as c
    union all
    select 'marts.margin_cells' as mart, coalesce(cast(sum(c.parcel_count) as bigint), 0) as parcel_count
    from marts.margin_cells as c
    union all
    select 'marts.shipping_margin' as mart, coalesce(cast(sum(m.parcel_count) as bigint), 0) as parcel_count
    from marts.shipping_margin as m
    union all
    select 'marts.margin_by_channel' as mart, coalesce(cast(sum(m.parcel_count) as bigint), 0) as parcel_count
    from marts.margin_by_channel as m
    union all
    select 'marts.margin_by_service' as mart, coalesce(cast(sum(m.parcel_count) as bigint), 0) as parcel_count
    from marts.margin_by_service as m
    union all
    select 'marts.margin_by_zone' as mart, coalesce(cast(sum(m.parcel_count) as bigint), 0) as parcel_count
    from marts.margin_by_zone as m
    union all
    select 'marts.coverage' as mart, coalesce(cast(sum(c.parcel_count) as bigint), 0) as parcel_count
    from marts.coverage as c
    union all
    select 'marts.damage_counts' as mart, coalesce(cast(sum(d.parcel_count) as bigint), 0) as parcel_count
    from marts.damage_counts as d
    union all
    select 'marts.exposure_cells' as mart, coalesce(cast(sum(e.parcel_count) as bigint), 0) as parcel_count
    from marts.exposure_cells as e
    union all
    select 'marts.weekly_charges' as mart, coalesce(cast(sum(w.parcel_count) as bigint), 0) as parcel_count
    from marts.weekly_charges as w
)

select
    c.mart,
    c.parcel_count as counted,
    case when c.mart in ('marts.exposure_cells', 'marts.weekly_charges') then k.shipped_count else k.parcel_count end
        as known
from counted as c
cross join known as k
where c.parcel_count <> case
    when c.mart in ('marts.exposure_cells', 'marts.weekly_charges') then k.shipped_count
    else k.parcel_count
end
