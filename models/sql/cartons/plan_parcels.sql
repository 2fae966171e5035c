-- One row per parcel that might be joined with others of its sale, or split: all that a carrier would know of it.
-- sale_parcel_count is 0 where it holds goods of several sales. Only goods of known sides.
with held as (
    select
        l.parcel_id,
        min(l.sale_id) as sale_id,
        count(distinct l.sale_id) as sale_count
    from core.parcel_lines as l
    group by l.parcel_id
),

whole as (
    select
        h.sale_id,
        count(*) as sale_parcel_count
    from held as h
    where h.sale_count = 1
    group by h.sale_id
)

select
    c.parcel_id,
    h.sale_id,
    case when h.sale_count = 1 then w.sale_parcel_count else 0 end as sale_parcel_count,
    k.goods, k.clearance_in,
    c.spent_cents, c.void_cents, c.used_tare_lb, c.used_void_lb,
    p.material_cents + p.labour_cents as packing_cents,
    r.carrier, r.service, r.zone, r.shipped_on, r.scale_weight_lb, r.is_residential, r.destination_prefix,
    r.declared_value_cents
from cartons.packed as c
inner join cartons.contents as k on k.packed_contents_key = c.packed_contents_key
inner join core.parcels as p on p.parcel_id = c.parcel_id
inner join rating.requests as r on r.request_id = c.parcel_id
inner join held as h on h.parcel_id = c.parcel_id
inner join whole as w on w.sale_id = h.sale_id
where k.goods is not null and (w.sale_parcel_count > 1 or p.piece_count > 1)
order by h.sale_id, c.parcel_id
