-- One row per parcel whose carriage can be rated: what it held, what decides its price beside its sides, what it cost.
-- Both are whole numbers, so that a million parcels are grouped and joined quickly: parcels of one `goods_key` held the
-- same goods with the same clearance; parcels of one `way_key` cost the same in the same carton. A goods_key is made of
-- ranks in small tables, every rank below the factor that the next one is multiplied by; it is below zero where a piece
-- or the packing method's clearance is not known: the carton it travelled in then bounds what it needs, by the rank of
-- its inside and its height in millionths of an inch. A way_key is made the same way of a cell, a band of scale weights
-- and a lane, of those that are alike the first one: `cartons.classes` takes them out of it again.
with items as (
    select
        t.item_type,
        row_number() over (order by t.item_type) as item_rank
    from accepted.item_types as t
),

methods as (
    select
        m.packing_method,
        m.effective_from,
        m.effective_before,
        dense_rank() over (order by m.clearance_in) as clearance_rank
    from core.packing_methods as m
    where m.clearance_in is not null
),

entries as (
    select
        c.carton_code,
        c.effective_from,
        c.effective_before,
        c.inside_height_in,
        dense_rank() over (order by c.inside_length_in, c.inside_width_in) as inside_rank
    from core.cartons as c
),

catalogues as (
    select
        e.effective_from,
        lead(e.effective_from) over (order by e.effective_from) as effective_before
    from (select distinct c.effective_from from core.cartons as c) as e
),

lanes as (
    select
        l.lane_key,
        min(l.lane_key) over (
            partition by
                c.effective_from, l.lane_class_key, l.fuel_share_millionths, l.is_fuel_of_base, l.is_fuel_of_surcharge
        ) as first_lane_key
    from rating.lanes as l
    left join catalogues as c
        on l.shipped_on >= c.effective_from and (c.effective_before is null or l.shipped_on < c.effective_before)
),

factors as (
    select
        (select greatest(max(p.piece_count), 0) + 1 from cartons.recent as p) as line_factor,
        (select coalesce(max(g.piece_count), 0) + 1 from cartons.mixed as g) as mixed_factor,
        (select count(*) + 1 from methods as m) as clearance_factor,
        (select count(*) from items as i) as item_count,
        (select max(l.lane_key) + 1 from rating.lanes as l) as lane_factor,
        (select max(l.top_band) + 1 from rating.lanes as l) as band_factor
),

cells as (
    select
        c.cell_key,
        min(c.cell_key) over (
            partition by c.lane_class_key, c.is_home, c.place_key, c.declared_steps
        ) as first_cell_key
    from rating.cells as c
),

packed as (
    select
        p.parcel_id,
        p.carton_cents,
        case
            when m.clearance_rank is null or (i.item_rank is null and g.parcel_id is null)
                then -(
                    e.inside_rank * 1000000000
                    + cast(floor(coalesce(p.cut_height_in, e.inside_height_in) * 1000000 + 0.5) as bigint)
                )
            when i.item_rank is not null
                then (
                    i.item_rank * greatest(f.line_factor, f.mixed_factor) + coalesce(g.piece_count, p.piece_count)
                ) * f.clearance_factor + m.clearance_rank
            else
                (f.item_count + g.goods_rank) * greatest(f.line_factor, f.mixed_factor) * f.clearance_factor
                + m.clearance_rank
        end as goods_key
    from cartons.recent as p
    cross join factors as f
    left join cartons.mixed as g on g.parcel_id = case when p.line_count > 1 then p.parcel_id end
    left join items as i on i.item_type = case when p.line_count = 1 then p.item_type else g.item_type end
    left join methods as m
        on m.packing_method = p.packing_method
        and p.shipped_on >= m.effective_from
        and (m.effective_before is null or p.shipped_on < m.effective_before)
    left join entries as e
        on e.carton_code = case when i.item_rank is null or m.clearance_rank is null then p.carton_code end
        and p.shipped_on >= e.effective_from
        and (e.effective_before is null or p.shipped_on < e.effective_before)
),

sent as (
    select
        q.request_id,
        (c.first_cell_key * f.band_factor + q.scale_band) * f.lane_factor + l.first_lane_key as way_key,
        q.expected_cents
    from rating.priced as q
    inner join lanes as l on l.lane_key = q.lane_key
    inner join cells as c on c.cell_key = q.cell_key
    cross join factors as f
    where q.expected_cents is not null
)

select
    p.parcel_id,
    p.goods_key,
    s.way_key,
    s.expected_cents + p.carton_cents as spent_cents
from packed as p
inner join sent as s on s.request_id = p.parcel_id
where p.goods_key is not null
