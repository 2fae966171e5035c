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
    {in_each marts.margin_cells, marts.shipping_margin, marts.margin_by_channel, marts.margin_by_service,
        marts.margin_by_zone, marts.coverage, marts.damage_counts, marts.carton_days, marts.exposure_cells,
        marts.weekly_charges, marts.carriage_cells:
        select '$' as mart, coalesce(cast(sum(t.parcel_count) as bigint), 0) as parcel_count from $ as t}
)

select
    c.mart,
    c.parcel_count as counted,
    case
        when c.mart in ('marts.exposure_cells', 'marts.weekly_charges', 'marts.carriage_cells') then k.shipped_count
        else k.parcel_count
    end as known
from counted as c
cross join known as k
where c.parcel_count <> case
    when c.mart in ('marts.exposure_cells', 'marts.weekly_charges', 'marts.carriage_cells') then k.shipped_count
    else k.parcel_count
end
