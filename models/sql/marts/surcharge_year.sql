-- One row per month, way of grouping, group and surcharge: the twelve months of shipping that end with it.
-- `parcel_count` are the group's parcels that the carrier charged; `avoidable` is what an inch or a pound less would have
-- spared of this very surcharge.
with months as (
    select distinct p.shipped_month
    from core.grouped_parcels as p
),

yearly as (
    select
        m.shipped_month,
        c.carrier, c.grouped_by, c.group_name, c.surcharge,
        {sums c.charged_parcel_count, c.amount_cents, c.avoidable_count, c.avoidable_cents}
    from months as m
    inner join core.grouped_surcharges as c
        on c.shipped_month <= m.shipped_month and c.shipped_month > cast(m.shipped_month - interval '12' month as date)
    group by m.shipped_month, c.carrier, c.grouped_by, c.group_name, c.surcharge
),

at_risk as (
    select
        m.shipped_month,
        p.carrier, p.grouped_by, p.group_name,
        cast(sum(p.parcel_count) as bigint) as parcel_count
    from months as m
    inner join core.grouped_parcels as p
        on p.shipped_month <= m.shipped_month and p.shipped_month > cast(m.shipped_month - interval '12' month as date)
    group by m.shipped_month, p.carrier, p.grouped_by, p.group_name
)

select
    y.shipped_month, y.grouped_by, y.group_name, y.carrier, y.surcharge,
    r.parcel_count,
    y.charged_parcel_count,
    cast(y.charged_parcel_count as double) / r.parcel_count as surcharge_rate,
    y.amount_cents, y.avoidable_count, y.avoidable_cents
from yearly as y
inner join at_risk as r
    on r.shipped_month = y.shipped_month and r.carrier = y.carrier and r.grouped_by = y.grouped_by
    and r.group_name = y.group_name
