-- One row per contents and all that decides a price beside the sides: such parcels cost the same in the same carton.
with found as (
    select
        p.goods_key,
        p.way_key,
        min(p.catalogue_from) as catalogue_from,
        min(p.parcel_id) as example_parcel_id,
        count(*) as parcel_count
    from cartons.parcels as p
    group by p.goods_key, p.way_key
)

select
    row_number() over (order by f.example_parcel_id) as class_key,
    c.contents_key,
    f.goods_key,
    f.way_key,
    f.catalogue_from,
    f.example_parcel_id,
    f.parcel_count
from found as f
inner join cartons.contents as c on c.goods_key = f.goods_key
