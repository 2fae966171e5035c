-- One row per month of shipping, way of grouping, group, carrier and surcharge: parcels that were charged it, and those
-- that an inch or a pound less would have spared it.
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
        {values grouped_by in 'item type', 'carton', 'service'}
    ) as g
    where p.has_charges
),

charged as (
    select
        c.parcel_id,
        c.surcharge,
        cast(sum(c.amount_cents) as bigint) as amount_cents
    from core.charge_lines as c
    where c.charge_kind = 'surcharge' and not c.is_account
    group by c.parcel_id, c.surcharge
)

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
