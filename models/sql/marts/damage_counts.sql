-- One row per month of shipping, item type and packing method. A parcel counts once for each cause claimed.
with caused as (
    select
        c.parcel_id,
        bool_or(c.claim_cause = 'damage') as is_damaged,
        bool_or(c.claim_cause = 'loss') as is_lost,
        bool_or(c.claim_cause not in ('damage', 'loss')) as is_other,
        cast(sum(c.loss_cents) as bigint) as loss_cents
    from core.claims as c
    group by c.parcel_id
)

select
    p.shipped_month, p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    count(*) as parcel_count,
    count(case when c.is_damaged then 1 end) as damage_count,
    count(case when c.is_lost then 1 end) as loss_count,
    count(case when c.is_other then 1 end) as other_claim_count,
    cast(count(case when c.is_damaged then 1 end) as double) / count(*) as crude_damage_rate,
    cast(sum(coalesce(c.loss_cents, 0)) as bigint) as damage_net_cents
from core.parcels as p
left join caused as c on c.parcel_id = p.parcel_id
group by p.shipped_month, p.item_type, coalesce(p.packing_method, 'unknown')
