-- One row: parcels that were sent like this one (item type, packing method, carton, carrier) and others of its item type,
-- each with those damaged. The parcel itself is among them.
with damaged as (
    select distinct c.parcel_id
    from claims_now as c
    where c.claim_cause = 'damage'
)

select
    count(case when q.is_like then 1 end) as like_count,
    count(case when q.is_like and d.parcel_id is not null then 1 end) as like_damaged_count,
    count(case when not q.is_like then 1 end) as other_count,
    count(case when not q.is_like and d.parcel_id is not null then 1 end) as other_damaged_count
from (
    select
        p.parcel_id,
        coalesce(p.packing_method = o.packing_method and p.carton_code = o.carton_code and p.carrier = o.carrier, false)
            as is_like
    from core.parcels as p
    inner join core.parcels as o on o.item_type = p.item_type
    where o.parcel_id = ? and p.item_type <> 'unknown'
) as q
left join damaged as d on d.parcel_id = q.parcel_id
