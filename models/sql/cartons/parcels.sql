-- One row per parcel whose carriage can be rated: what it held, what decides its price beside its sides, what it cost.
-- `goods` is null where a piece or the packing method's clearance is not known; the carton it travelled in then bounds
-- what it needs. Parcels of one sale line, nearly all, need no gathering.
with lines as (
    select
        l.parcel_id,
        l.item_type,
        cast(sum(l.packed_quantity) as bigint) as packed_quantity
    from core.parcel_lines as l
    inner join core.parcels as p on p.parcel_id = l.parcel_id and p.line_count > 1
    group by l.parcel_id, l.item_type
),

gathered as (
    select
        l.parcel_id,
        string_agg(l.item_type || chr(31) || cast(l.packed_quantity as varchar), chr(30) order by l.item_type) as goods,
        bool_and(t.item_type is not null) as is_known
    from lines as l
    left join accepted.item_types as t on t.item_type = l.item_type
    group by l.parcel_id
),

catalogues as (
    select
        e.effective_from,
        lead(e.effective_from) over (order by e.effective_from) as effective_before
    from (select distinct c.effective_from from core.cartons as c) as e
),

days as (
    select
        d.shipped_on,
        c.effective_from as catalogue_from
    from (select distinct p.shipped_on from core.parcels as p) as d
    left join catalogues as c
        on d.shipped_on >= c.effective_from and (c.effective_before is null or d.shipped_on < c.effective_before)
),

packed as (
    select
        p.parcel_id,
        p.shipped_on,
        p.carton_cents,
        m.clearance_in,
        u.inside_length_in,
        u.inside_width_in,
        coalesce(p.cut_height_in, u.inside_height_in) as used_height_in,
        case
            when m.clearance_in is null then null
            when p.line_count > 1 and g.is_known then g.goods
            when p.line_count = 1 and t.item_type is not null
                then p.item_type || chr(31) || cast(p.piece_count as varchar)
        end as goods
    from core.parcels as p
    left join gathered as g on g.parcel_id = p.parcel_id
    left join accepted.item_types as t on t.item_type = p.item_type
    left join core.packing_methods as m
        on m.packing_method = p.packing_method
        and p.shipped_on >= m.effective_from
        and (m.effective_before is null or p.shipped_on < m.effective_before)
    left join core.cartons as u
        on u.carton_code = p.carton_code
        and p.shipped_on >= u.effective_from
        and (u.effective_before is null or p.shipped_on < u.effective_before)
)

select
    p.parcel_id,
    p.goods,
    case when p.goods is not null then p.clearance_in end as clearance_in,
    case when p.goods is null then p.inside_length_in end as bound_length_in,
    case when p.goods is null then p.inside_width_in end as bound_width_in,
    case when p.goods is null then p.used_height_in end as bound_height_in,
    d.catalogue_from,
    k.lane_class_key,
    l.fuel_share_millionths,
    k.scale_band,
    k.is_home,
    k.place_key,
    k.declared_steps,
    q.expected_cents + p.carton_cents as spent_cents
from packed as p
inner join rating.priced as q on q.request_id = p.parcel_id and q.expected_cents is not null
inner join rating.request_keys as k on k.request_id = p.parcel_id
inner join rating.lanes as l on l.lane_key = k.lane_key
inner join days as d on d.shipped_on = p.shipped_on
where p.goods is not null or p.inside_length_in is not null
