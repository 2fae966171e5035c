-- One row per class and carton that holds its contents and that the carrier takes: cents of one parcel.
select
    r.class_key,
    r.option_key,
    o.option_kind,
    q.expected_cents + o.unit_cost_cents + o.cut_cents as price_cents
from cartons.requests as r
inner join cartons.offers as o on o.option_key = r.option_key
inner join carton_rating.priced as q on q.request_id = r.request_id
where q.expected_cents is not null
