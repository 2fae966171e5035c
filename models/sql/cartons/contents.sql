-- One row per contents: the same goods with the same clearance, or goods of unknown sides bounded by one inside.
with found as (
    select
        p.goods_key,
        min(p.parcel_id) as example_parcel_id,
        count(*) as parcel_count
    from cartons.parcels as p
    group by p.goods_key
),

described as (
    select
        f.goods_key,
        f.parcel_count,
        case
            when f.goods_key > 0 then coalesce(g.goods, p.item_type || chr(31) || cast(p.piece_count as varchar))
        end as goods,
        case when f.goods_key > 0 then m.clearance_in end as clearance_in,
        case when f.goods_key < 0 then e.inside_length_in end as bound_length_in,
        case when f.goods_key < 0 then e.inside_width_in end as bound_width_in,
        case when f.goods_key < 0 then coalesce(p.cut_height_in, e.inside_height_in) end as bound_height_in
    from found as f
    inner join cartons.recent as p on p.parcel_id = f.example_parcel_id
    left join cartons.mixed as g on g.parcel_id = p.parcel_id
    left join core.packing_methods as m
        on m.packing_method = p.packing_method
        and p.shipped_on >= m.effective_from
        and (m.effective_before is null or p.shipped_on < m.effective_before)
    left join core.cartons as e
        on e.carton_code = p.carton_code
        and p.shipped_on >= e.effective_from
        and (e.effective_before is null or p.shipped_on < e.effective_before)
)

select
    row_number() over (
        order by
            d.parcel_count desc, d.goods, d.clearance_in, d.bound_length_in, d.bound_width_in, d.bound_height_in,
            d.goods_key
    ) as contents_key,
    d.goods_key,
    d.goods,
    d.clearance_in,
    d.bound_length_in,
    d.bound_width_in,
    d.bound_height_in,
    d.parcel_count
from described as d
