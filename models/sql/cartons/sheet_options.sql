-- One row per item type, packing method and carton that holds one piece: what the parcels shipped since the latest
-- catalogue would have cost in it, and what they did cost.
with latest as (
    select max(c.catalogue_from) as catalogue_from
    from cartons.classes as c
),

recent as (
    select
        u.class_key,
        c.contents_key,
        u.item_type, u.packing_method,
        cast(sum(u.parcel_count) as bigint) as parcel_count,
        cast(sum(u.spent_cents + u.void_cents) as bigint) as spent_cents
    from cartons.usages as u
    inner join cartons.classes as c on c.class_key = u.class_key
    inner join latest as l on l.catalogue_from = c.catalogue_from
    group by u.class_key, c.contents_key, u.item_type, u.packing_method
)

select
    r.contents_key, r.item_type, r.packing_method,
    p.option_key,
    cast(sum(r.parcel_count) as bigint) as parcel_count,
    cast(sum(r.spent_cents) as bigint) as spent_cents,
    cast(sum(r.parcel_count * p.price_cents) as bigint) as total_cents
from recent as r
inner join cartons.prices as p on p.class_key = r.class_key
inner join cartons.offers as o on o.option_key = p.option_key and o.option_kind in ('stocked', 'cut')
group by r.contents_key, r.item_type, r.packing_method, p.option_key
order by r.item_type, r.packing_method, p.option_key
