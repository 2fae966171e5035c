-- One row per day of shipping, item type, packing method, carrier, service and zone band: parcels at risk and claims.
-- A parcel counts once for each cause claimed. Parcels that only a claim knows are left out: their day is the claim's.
with caused as (
    select
        c.parcel_id,
        bool_or(c.claim_cause = 'damage') as is_damaged,
        bool_or(c.claim_cause = 'loss') as is_lost,
        bool_or(c.claim_cause not in ('damage', 'loss')) as is_other
    from core.claims as c
    group by c.parcel_id
)

select
    p.shipped_on, p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    p.carrier,
    coalesce(p.service, 'unknown') as service,
    z.zone_band,
    count(*) as parcel_count,
    count(case when c.is_damaged then 1 end) as damage_count,
    count(case when c.is_lost then 1 end) as loss_count,
    count(case when c.is_other then 1 end) as other_claim_count
from core.parcels as p
inner join core.zone_bands as z on z.carrier = p.carrier and z.zone = coalesce(p.zone, 'unknown')
left join caused as c on c.parcel_id = p.parcel_id
where p.has_bench_log or p.has_charges
group by
    p.shipped_on, p.item_type, coalesce(p.packing_method, 'unknown'), p.carrier, coalesce(p.service, 'unknown'),
    z.zone_band
