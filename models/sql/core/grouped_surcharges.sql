-- One row per month of shipping, way of grouping, group, carrier and surcharge: parcels that were charged it, and those
-- that an inch or a pound less would have spared it.
with charged as (
    select
        c.parcel_id, c.surcharge,
        cast(sum(c.amount_cents) as bigint) as amount_cents
    from core.charge_lines as c
    where c.charge_kind = 'surcharge' and not c.is_account
    group by c.parcel_id, c.surcharge
)

select
    p.shipped_month,
    g.grouped_by,
    {group p by g.grouped_by} as group_name,
    p.carrier,
    c.surcharge,
    count(*) as charged_parcel_count,
    cast(sum(c.amount_cents) as bigint) as amount_cents,
    count(n.parcel_id) as avoidable_count,
    cast(sum(case when n.parcel_id is not null then c.amount_cents else 0 end) as bigint) as avoidable_cents
from core.parcels as p
inner join charged as c on c.parcel_id = p.parcel_id
cross join (
    {values grouped_by in 'item type', 'carton', 'service'}
) as g
left join marts.surcharge_near_misses as n
    on n.parcel_id = c.parcel_id and n.near_miss = 'paid' and n.charge_name = c.surcharge
where p.has_charges
group by p.shipped_month, g.grouped_by, {group p by g.grouped_by}, p.carrier, c.surcharge
