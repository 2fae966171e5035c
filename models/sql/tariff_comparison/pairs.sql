-- One row per parcel looked back on: what the tariff of its day and the announced one expect of it.
select
    n.request_id as parcel_id,
    p.item_type,
    coalesce(r.zone, 'unknown') as zone,
    o.expected_cents as before_cents,
    n.expected_cents as after_cents,
    o.expected_cents is not null and n.expected_cents is not null as is_compared,
    o.lacking as lacking_before,
    n.lacking as lacking_after
from whatif.rated as n
inner join rating.requests as r on r.request_id = n.request_id
inner join rating.rated as o on o.request_id = n.request_id
inner join core.parcels as p on p.parcel_id = n.request_id
