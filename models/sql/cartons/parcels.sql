-- One row per parcel whose carriage can be rated: what it held, what decides its price beside its sides, what it cost.
-- `goods` is null where a piece or the packing method's clearance is not known; the carton it travelled in then bounds
-- what it needs.
with lines as (
    select
        l.parcel_id,
        l.item_type,
        cast(sum(l.packed_quantity) as bigint) as packed_quantity
    from core.parcel_lines as l
    group by l.parcel_id, l.item_type
),

packed as (
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
)

select
    p.parcel_id,
    p.shipped_month,
    cast(date_trunc('week', p.shipped_on) as date) as shipped_week,
    p.item_type,
    coalesce(p.packing_method, 'unknown') as packing_method,
    coalesce(p.carton_code, 'unknown') as carton_code,
    coalesce(p.cut_height_in, u.inside_height_in) as used_height_in,
    case when g.is_known and m.clearance_in is not null then g.goods end as goods,
    case when g.is_known then m.clearance_in end as clearance_in,
    case when g.is_known and m.clearance_in is not null then null else u.inside_length_in end as bound_length_in,
    case when g.is_known and m.clearance_in is not null then null else u.inside_width_in end as bound_width_in,
    case
        when g.is_known and m.clearance_in is not null then null else coalesce(p.cut_height_in, u.inside_height_in)
    end as bound_height_in,
    c.effective_from as catalogue_from,
    k.lane_class_key,
    l.fuel_share_millionths,
    k.scale_band,
    k.is_home,
    k.place_key,
    k.declared_steps,
    q.expected_cents + p.carton_cents as spent_cents
from core.parcels as p
inner join rating.priced as q on q.request_id = p.parcel_id and q.expected_cents is not null
inner join rating.request_keys as k on k.request_id = p.parcel_id
inner join rating.lanes as l on l.lane_key = k.lane_key
left join packed as g on g.parcel_id = p.parcel_id
left join core.packing_methods as m
    on m.packing_method = p.packing_method
    and p.shipped_on >= m.effective_from
    and (m.effective_before is null or p.shipped_on < m.effective_before)
left join core.cartons as u
    on u.carton_code = p.carton_code
    and p.shipped_on >= u.effective_from
    and (u.effective_before is null or p.shipped_on < u.effective_before)
left join catalogues as c
    on p.shipped_on >= c.effective_from and (c.effective_before is null or p.shipped_on < c.effective_before)
where (g.is_known and m.clearance_in is not null) or u.inside_length_in is not null
