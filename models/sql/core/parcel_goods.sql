-- One row per parcel whose goods are known, with the clearance of its packing method; else its carton bounds them.
-- `goods` names the item types and how many pieces of each.
with lines as (
    select
        l.parcel_id, l.item_type,
        cast(sum(l.packed_quantity) as bigint) as packed_quantity
    from core.parcel_lines as l
    inner join core.parcels as p on p.parcel_id = l.parcel_id and p.line_count > 1
    group by l.parcel_id, l.item_type
),

mixed as (
    select
        l.parcel_id,
        string_agg(l.item_type || chr(31) || cast(l.packed_quantity as varchar), chr(30) order by l.item_type) as goods,
        bool_and(t.item_type is not null) as is_known
    from lines as l
    left join accepted.item_types as t on t.item_type = l.item_type
    group by l.parcel_id
),

held as (
    select
        p.parcel_id,
        case
            when p.line_count > 1 then case when x.is_known then x.goods end
            when t.item_type is not null then t.item_type || chr(31) || cast(p.piece_count as varchar)
        end as goods,
        m.clearance_in,
        e.inside_length_in, e.inside_width_in,
        coalesce(p.cut_height_in, e.inside_height_in) as inside_height_in
    from core.parcels as p
    left join accepted.item_types as t on t.item_type = p.item_type and p.line_count = 1
    left join mixed as x on x.parcel_id = p.parcel_id
    left join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
    left join core.cartons as e on e.carton_code = p.carton_code and {valid e on p.shipped_on}
),

stated as (
    select
        h.*,
        h.goods is not null and h.clearance_in is not null as is_known
    from held as h
)

select
    t.parcel_id,
    case when t.is_known then t.goods end as goods,
    case when t.is_known then t.clearance_in end as clearance_in,
    case when not t.is_known then t.inside_length_in end as bound_length_in,
    case when not t.is_known then t.inside_width_in end as bound_width_in,
    case when not t.is_known then t.inside_height_in end as bound_height_in
from stated as t
where t.is_known or t.inside_length_in is not null
