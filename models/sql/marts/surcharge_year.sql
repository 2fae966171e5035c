-- One row per month, way of grouping, group and surcharge: the twelve months of shipping that end with it.
-- `parcel_count` are the group's parcels that the carrier charged; `avoidable` is what an inch or a pound less would have
-- spared of this very surcharge.
with grouped as (
    select
        p.parcel_id,
        p.shipped_month,
        p.carrier,
        g.grouped_by,
        case g.grouped_by
            when 'item type' then p.item_type
            when 'carton' then coalesce(p.carton_code, 'unknown')
            else coalesce(p.service, 'unknown')
        end as group_name
    from core.parcels as p
    cross join (
        select 'item type' as grouped_by
        union all
        select 'carton' as grouped_by
        union all
        select 'service' as grouped_by
    ) as g
    where p.has_charges
),

months as (
    select distinct p.shipped_month
    from core.parcels as p
),

monthly_parcels as (
    select
        g.shipped_month,
        g.carrier,
        g.grouped_by,
        g.group_name,
        count(*) as parcel_count
    from grouped as g
    group by g.shipped_month, g.carrier, g.grouped_by, g.group_name
),

charged as (
    select
        c.parcel_id,
        c.surcharge,
        cast(sum(c.amount_cents) as bigint) as amount_cents
    from core.charge_lines as c
    where c.charge_kind = 'surcharge' and not c.is_account
    group by c.parcel_id, c.surcharge
),

monthly_charges as (
    select
        g.shipped_month,
        g.carrier,
        g.grouped_by,
        g.group_name,
        c.surcharge,
        count(*) as charged_parcel_count,
        cast(sum(c.amount_cents) as bigint) as amount_cents,
        count(n.parcel_id) as avoidable_count,
        cast(sum(case when n.parcel_id is not null then c.amount_cents else 0 end) as bigint) as avoidable_cents
    from grouped as g
    inner join charged as c on c.parcel_id = g.parcel_id
    left join marts.surcharge_near_misses as n
        on n.parcel_id = c.parcel_id and n.near_miss = 'paid' and n.charge_name = c.surcharge
    group by g.shipped_month, g.carrier, g.grouped_by, g.group_name, c.surcharge
),

yearly as (
    select
        m.shipped_month,
        c.carrier,
        c.grouped_by,
        c.group_name,
        c.surcharge,
        cast(sum(c.charged_parcel_count) as bigint) as charged_parcel_count,
        cast(sum(c.amount_cents) as bigint) as amount_cents,
        cast(sum(c.avoidable_count) as bigint) as avoidable_count,
        cast(sum(c.avoidable_cents) as bigint) as avoidable_cents
    from months as m
    inner join monthly_charges as c
        on c.shipped_month <= m.shipped_month and c.shipped_month > cast(m.shipped_month - interval '12' month as date)
    group by m.shipped_month, c.carrier, c.grouped_by, c.group_name, c.surcharge
),

at_risk as (
    select
        m.shipped_month,
        p.carrier,
        p.grouped_by,
        p.group_name,
        cast(sum(p.parcel_count) as bigint) as parcel_count
    from months as m
    inner join monthly_parcels as p
        on p.shipped_month <= m.shipped_month and p.shipped_month > cast(m.shipped_month - interval '12' month as date)
    group by m.shipped_month, p.carrier, p.grouped_by, p.group_name
)

select
    y.shipped_month,
    y.grouped_by,
    y.group_name,
    y.carrier,
    y.surcharge,
    r.parcel_count,
    y.charged_parcel_count,
    cast(y.charged_parcel_count as double) / r.parcel_count as surcharge_rate,
    y.amount_cents,
    y.avoidable_count,
    y.avoidable_cents
from yearly as y
inner join at_risk as r
    on r.shipped_month = y.shipped_month and r.carrier = y.carrier and r.grouped_by = y.grouped_by
    and r.group_name = y.group_name
