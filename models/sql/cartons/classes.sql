-- One row per contents and all that decides a price beside the sides: such parcels cost the same in the same carton.
-- Classes of one `trip_key` differ in contents and fuel only. `lane_key`, `cell_key` and `scale_band` are those of one of
-- its parcels.
with found as (
    select
        p.goods_key,
        p.way_key,
        count(*) as parcel_count
    from cartons.parcels as p
    group by p.goods_key, p.way_key
),

factors as (
    select
        max(l.lane_key) + 1 as lane_factor,
        max(l.top_band) + 1 as band_factor
    from rating.lanes as l
),

parted as (
    select
        n.goods_key,
        n.way_key,
        n.parcel_count,
        n.way_key % f.lane_factor as lane_key,
        n.way_key // f.lane_factor % f.band_factor as scale_band,
        n.way_key // f.lane_factor // f.band_factor as cell_key
    from found as n
    cross join factors as f
),

catalogues as (
    select
        l.lane_key,
        max(c.effective_from) as catalogue_from
    from rating.lanes as l
    left join core.cartons as c on l.shipped_on >= c.effective_from
    group by l.lane_key
)

select
    row_number() over (order by p.goods_key, p.way_key) as class_key,
    dense_rank() over (order by p.cell_key, p.scale_band) as trip_key,
    c.contents_key,
    p.goods_key,
    p.way_key,
    p.lane_key,
    p.cell_key,
    p.scale_band,
    k.catalogue_from,
    p.parcel_count
from parted as p
inner join cartons.contents as c on c.goods_key = p.goods_key
inner join catalogues as k on k.lane_key = p.lane_key
