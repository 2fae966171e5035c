-- One row per parcel and charge within reach: paid, and spared by a little less on one side or the scale; or just under,
-- and added by a little more. `spared_cents` is by rating again, fuel and tax included; of a parcel just under what it keeps off.
-- Of several changes that do it the least counts; of changes of as many eighths of the reach the one that spares most.
-- A charge that goes with others of its parcel has the same saving: `is_counted` marks the one to add up.
-- Whether the carton can be cut and which other carton would do is known for single pieces that may lie any way; its other
-- sides may be an eighth of an inch larger, which is as fine as a bench measures.
with nearest as (
    select
        c.parcel_id,
        n.direction, n.charge_name, n.change, n.eighth,
        row_number() over (
            partition by c.parcel_id, n.direction, n.charge_name
            order by n.eighth, n.base_cents + n.surcharge_cents, n.change
        ) as place,
        p.expected_cents,
        n.base_cents + n.surcharge_cents
        + {amount n.fuelled_cents * l.fuel_share_millionths by l.} as changed_cents,
        l.tax_share_millionths, l.tax_rounding_cents, l.tax_rounding_bias, l.is_tax_in_prices, l.is_tax_reclaimable
    from core.near_miss_least_changes as n
    inner join core.parcel_classes as c on c.class_key = n.class_key
    inner join rating.priced as p on p.request_id = c.parcel_id
    inner join rating.lanes as l on l.lane_key = p.lane_key
),

taxed as (
    select
        n.*,
        n.expected_cents - n.changed_cents - {tax n.changed_cents in n} as spared_cents
    from nearest as n
    where n.place = 1
),

priced as (
    select
        n.*,
        row_number() over (
            partition by n.parcel_id, n.direction order by abs(n.spared_cents) desc, n.eighth, n.charge_name
        ) = 1 as is_counted
    from taxed as n
),

goods as (
    select
        l.parcel_id,
        max({longest i.}) as longest_in,
        max({second i.}) as second_in,
        max({shortest i.}) as shortest_in
    from core.packed_lines as l
    inner join accepted.item_types as i on i.item_type = l.item_type and i.turns = 'any'
    group by l.parcel_id
    having count(*) = 1 and max(l.packed_quantity) = 1
),

needed as (
    select
        g.parcel_id,
        g.longest_in + 2 * m.clearance_in as longest_in,
        g.second_in + 2 * m.clearance_in as second_in,
        g.shortest_in + 2 * m.clearance_in as shortest_in
    from goods as g
    inner join core.parcels as p on p.parcel_id = g.parcel_id and p.line_count = 1
    inner join core.packing_methods as m on m.packing_method = p.packing_method and {valid m on p.shipped_on}
),

sorted_cartons as (
    select
        c.*,
        {longest c.inside_} as longest_in,
        {second c.inside_} as second_in,
        {shortest c.inside_} as shortest_in,
        {longest c.outside_} as outer_longest_in,
        {second c.outside_} as outer_second_in,
        {shortest c.outside_} as outer_shortest_in
    from core.cartons as c
),

near_parcels as (
    select
        x.*,
        p.carton_code, p.cut_height_in, p.shipped_on,
        n.longest_in, n.second_in, n.shortest_in,
        {longest r.} - case when x.change = 'longest side' then s.reach_in * x.eighth / 8 else 0 end as near_length_in,
        {second r.} - case when x.change = 'second side' then s.reach_in * x.eighth / 8 else 0 end as near_width_in,
        {shortest r.} - case when x.change = 'shortest side' then s.reach_in * x.eighth / 8 else 0 end as near_height_in
    from priced as x
    inner join core.parcels as p on p.parcel_id = x.parcel_id
    inner join needed as n on n.parcel_id = x.parcel_id
    inner join rating.requests as r on r.request_id = x.parcel_id
    cross join shop.settings as s
    where x.direction < 0 and x.change <> 'weight' and x.charge_name <> 'rated weight'
),

others as (
    select
        n.parcel_id, n.charge_name,
        c.carton_code as other_carton_code,
        row_number() over (
            partition by n.parcel_id, n.charge_name
            order by c.outer_longest_in * c.outer_second_in * c.outer_shortest_in, c.unit_cost_cents, c.carton_code
        ) as place
    from near_parcels as n
    inner join sorted_cartons as c
        on c.carton_code <> n.carton_code
        and {valid c on n.shipped_on}
        and c.longest_in >= n.longest_in - 0.0001
        and c.second_in >= n.second_in - 0.0001
        and c.shortest_in >= n.shortest_in - 0.0001
        and c.outer_longest_in <= n.near_length_in + case when n.change = 'longest side' then 0.0001 else 0.125 end
        and c.outer_second_in <= n.near_width_in + case when n.change = 'second side' then 0.0001 else 0.125 end
        and c.outer_shortest_in <= n.near_height_in + case when n.change = 'shortest side' then 0.0001 else 0.125 end
),

cuts as (
    select
        n.parcel_id, n.charge_name,
        c.is_cuttable
        and coalesce(n.cut_height_in, c.inside_height_in) - s.reach_in * n.eighth / 8
        >= coalesce(c.minimum_height_in, c.inside_width_in / 2)
        and case n.change
            when 'longest side' then c.outside_height_in > c.outside_length_in
                and coalesce(n.cut_height_in, c.inside_height_in) - s.reach_in * n.eighth / 8 >= n.longest_in - 0.0001
            when 'shortest side' then c.outside_height_in < c.outside_width_in
                and coalesce(n.cut_height_in, c.inside_height_in) - s.reach_in * n.eighth / 8 >= n.shortest_in - 0.0001
            else c.outside_height_in between c.outside_width_in and c.outside_length_in
                and coalesce(n.cut_height_in, c.inside_height_in) - s.reach_in * n.eighth / 8 >= n.second_in - 0.0001
        end as can_cut
    from near_parcels as n
    inner join core.cartons as c on c.carton_code = n.carton_code and {valid c on n.shipped_on}
    cross join shop.settings as s
)

select
    x.parcel_id,
    case when x.direction < 0 then 'paid' else 'just under' end as near_miss,
    x.charge_name, x.change,
    case when x.change <> 'weight' then s.reach_in * x.eighth / 8 end as change_in,
    case when x.change = 'weight' then s.reach_lb * x.eighth / 8 end as change_lb,
    abs(x.spared_cents) as spared_cents,
    x.is_counted,
    k.can_cut,
    o.other_carton_code,
    p.carrier, p.service, p.zone, p.item_type, p.carton_code, p.shipped_on, p.shipped_month
from priced as x
inner join core.parcels as p on p.parcel_id = x.parcel_id
cross join shop.settings as s
left join cuts as k on k.parcel_id = x.parcel_id and k.charge_name = x.charge_name and x.direction < 0
left join others as o on o.parcel_id = x.parcel_id and o.charge_name = x.charge_name and o.place = 1 and x.direction < 0
