-- One row per parcel damaged: the month of its report, its item type, packing method, carton and carrier, all parcels
-- alike and those damaged, and the others of the item type.
with damaged as (
    select
        c.parcel_id,
        {min c.claim_id, c.opened_on}
    from core.claims as c
    where c.claim_cause = 'damage'
    group by c.parcel_id
),

alike as (
    select
        p.item_type,
        {or_unknown p.packing_method, p.carton_code},
        p.carrier,
        count(*) as like_count,
        count(d.parcel_id) as like_damaged_count
    from core.parcels as p
    left join damaged as d on d.parcel_id = p.parcel_id
    where p.item_type <> 'unknown' and (p.has_bench_log or p.has_charges)
    group by p.item_type, coalesce(p.packing_method, 'unknown'), coalesce(p.carton_code, 'unknown'), p.carrier
),

totals as (
    select
        a.item_type,
        cast(sum(a.like_count) as bigint) as type_count,
        cast(sum(a.like_damaged_count) as bigint) as type_damaged_count
    from alike as a
    group by a.item_type
)

select
    cast(date_trunc('month', d.opened_on) as date) as reported_month,
    a.item_type, a.packing_method, a.carton_code, a.carrier,
    d.claim_id,
    a.like_count, a.like_damaged_count,
    t.type_count - a.like_count as other_count,
    t.type_damaged_count - a.like_damaged_count as other_damaged_count
from damaged as d
inner join core.parcels as p on p.parcel_id = d.parcel_id
inner join alike as a
    on a.item_type = p.item_type
    and a.packing_method = coalesce(p.packing_method, 'unknown')
    and a.carton_code = coalesce(p.carton_code, 'unknown')
    and a.carrier = p.carrier
inner join totals as t on t.item_type = p.item_type
where p.has_bench_log or p.has_charges
