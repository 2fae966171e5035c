-- One row: what is known of the parcel, what the tariff makes of it, what was billed before later corrections.
select
    r.length_in,
    r.width_in,
    r.height_in,
    r.scale_weight_lb,
    r.sides_source,
    d.*,
    b.base_cents + b.surcharge_cents + b.fuel_cents + b.unmapped_cents as billed_cents
from rating.requests as r
inner join rating.rated as d on d.request_id = r.request_id
left join core.billed_parcels as b on b.parcel_id = r.request_id
where r.request_id = ?
