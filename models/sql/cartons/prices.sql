-- One row per class and carton that holds its contents and that the carrier takes: cents of one parcel, with void fill.
select
    q.request_id >> 20 as class_key,
    o.option_key,
    q.expected_cents + o.unit_cost_cents + o.cut_cents + p.void_cents as price_cents
from cartons.priced as q
inner join cartons.offers as o on o.option_key = q.request_id & 1048575
inner join cartons.classes as c on c.class_key = q.request_id >> 20
inner join cartons.pairs as p on p.contents_key = c.contents_key and p.option_key = o.option_key
where q.expected_cents is not null
