-- One row per parcel looked back on: what the tariff of its day and the announced one expect of it, and how far the change
-- may be off where learned prices are off by their 95 % intervals: those of both tariffs add up. Fuel follows its base.
select
    n.request_id as parcel_id,
    p.item_type,
    coalesce(r.zone, 'unknown') as zone,
    o.expected_cents as before_cents,
    n.expected_cents as after_cents,
    o.expected_cents is not null and n.expected_cents is not null as is_compared,
    o.lacking as lacking_before,
    n.lacking as lacking_after,
    b.request_id is not null or a.request_id is not null as is_learned,
    case when b.request_id is not null then b.within_cents else 0 end
    + case when a.request_id is not null then a.within_cents else 0 end as base_within_cents,
    case when b.request_id is not null then b.within_cents * b.fuel_share else 0 end
    + case when a.request_id is not null then a.within_cents * a.fuel_share else 0 end as fuel_within_cents
from whatif.rated as n
inner join rating.requests as r on r.request_id = n.request_id
inner join rating.rated as o on o.request_id = n.request_id
inner join core.parcels as p on p.parcel_id = n.request_id
left join whatif.learned_before as b on b.request_id = n.request_id
left join whatif.learned_after as a on a.request_id = n.request_id
