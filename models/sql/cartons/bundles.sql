-- One row per item type, number of its pieces and clearance: packed sides of pieces wrapped together. Stated by the shop, or learned:
-- the least inside in which at least three parcels held just these pieces, as the bench log counts them (three: common
-- practice, no source). What is stated for as many pieces is not learned.
with packed as (
    select
        w.parcel_id,
        cast(sum(w.packed_quantity) as bigint) as piece_count
    from accepted.weights as w
    group by w.parcel_id
),

held as (
    select
        p.item_type,
        p.piece_count as bundled_count,
        m.clearance_in,
        e.inside_length_in as bundle_length_in,
        e.inside_width_in as bundle_width_in,
        coalesce(p.cut_height_in, e.inside_height_in) as bundle_height_in,
        count(*) as parcel_count
    from cartons.recent as p
    inner join packed as b on b.parcel_id = p.parcel_id and b.piece_count = p.piece_count
    inner join core.packed_contents as g on g.packed_contents_key = p.packed_contents_key
    inner join accepted.item_types as t
        on g.goods = t.item_type || chr(31) || cast(p.piece_count as varchar)
        and t.item_type = p.item_type
    inner join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
    inner join core.cartons as e on e.carton_code = p.carton_code and {valid e on p.shipped_on}
    where p.piece_count > 1 and p.is_rectangular and coalesce(e.carton_style, '') <> 'tube'
    group by
        p.item_type, p.piece_count, m.clearance_in, e.inside_length_in, e.inside_width_in,
        coalesce(p.cut_height_in, e.inside_height_in)
    having count(*) >= 3
),

placed as (
    select
        h.*,
        row_number() over (
            partition by h.item_type, h.bundled_count, h.clearance_in
            order by h.bundle_length_in * h.bundle_width_in * h.bundle_height_in, h.bundle_height_in, h.bundle_length_in
        ) as place
    from held as h
    left join accepted.bundles as s on s.item_type = h.item_type and s.bundled_count = h.bundled_count
    where s.item_type is null
)

select
    p.item_type, p.bundled_count,
    'learned' as bundle_source,
    p.bundle_length_in, p.bundle_width_in, p.bundle_height_in,
    'upright' as turns,
    p.clearance_in, p.parcel_count
from placed as p
where p.place = 1
union all
select
    s.item_type, s.bundled_count,
    'stated' as bundle_source,
    s.length_in as bundle_length_in,
    s.width_in as bundle_width_in,
    s.height_in as bundle_height_in,
    s.turns,
    0.0 as clearance_in,
    cast(null as bigint) as parcel_count
from accepted.bundles as s
