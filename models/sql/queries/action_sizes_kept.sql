-- One row per item type: what the chosen sizes would have saved in the last twelve months.
with latest as (
    select cast(max(a.shipped_month) - interval '12' month as date) as before_month
    from analysis.assortment_ladder as a
),

recent as (
    select a.*
    from analysis.assortment_ladder as a
    cross join latest as l
    where a.shipped_month > l.before_month
),

months as (
    select count(distinct r.shipped_month) as month_count
    from recent as r
)

select
    r.item_type,
    cast(sum(r.parcel_count) as bigint) as parcel_count,
    cast(sum(r.saving_cents) as bigint) as saving_cents,
    max(m.month_count) as month_count
from recent as r
cross join months as m
group by r.item_type
order by r.item_type
