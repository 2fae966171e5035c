-- One row per entry of the carton catalogue, whether it is in force now, and how far nine in ten parcels in it stand out over its stated sides.
-- An entry under a code that another one has taken the place of is an earlier entry of that one: `carton_code` is today's.
-- Measured on the bench, else learned from what carriers billed. Sides are compared longest first, as a carrier does;
-- cut cartons at their cut height.
with entries as (
    select
        c.*,
        coalesce(r.today_code, c.carton_code) as today_code,
        coalesce(c.effective_before, r.renamed_on) as listed_before,
        n.carton_code is not null and r.carton_code is null as is_current
    from core.cartons as c
    left join core.renamed_cartons as r on r.carton_code = c.carton_code
    left join core.current_cartons as n on n.carton_code = c.carton_code and n.effective_from = c.effective_from
),

stated as (
    select
        p.length_in, p.width_in, p.height_in, p.is_rectangular,
        c.today_code as carton_code,
        c.outside_length_in as one_in,
        c.outside_width_in as two_in,
        c.outside_height_in - c.inside_height_in + coalesce(p.cut_height_in, c.inside_height_in) as three_in
    from cartons.recent as p
    inner join entries as c on c.carton_code = p.carton_code and {valid c on p.shipped_on}
    where p.sides_source in ('measured', 'learned')
),

compared as (
    select
        s.carton_code, s.is_rectangular,
        s.length_in - greatest(s.one_in, s.two_in, s.three_in) as longest_in,
        s.width_in - (
            s.one_in + s.two_in + s.three_in - greatest(s.one_in, s.two_in, s.three_in)
            - least(s.one_in, s.two_in, s.three_in)
        ) as second_in,
        s.height_in - least(s.one_in, s.two_in, s.three_in) as shortest_in
    from stated as s
),

learned as (
    select
        c.carton_code,
        count(*) as measured_count,
        bool_and(c.is_rectangular) as is_rectangular,
        percentile_cont(0.9) within group (order by c.longest_in) as bulge_longest_in,
        percentile_cont(0.9) within group (order by c.second_in) as bulge_second_in,
        percentile_cont(0.9) within group (order by c.shortest_in) as bulge_shortest_in
    from compared as c
    group by c.carton_code
)

select
    e.today_code as carton_code,
    e.effective_from,
    e.listed_before as effective_before,
    e.carton_style, e.inside_length_in, e.inside_width_in, e.inside_height_in, e.outside_length_in, e.outside_width_in,
    e.outside_height_in, e.board_in, e.tare_lb, e.unit_cost_cents, e.is_cuttable, e.minimum_height_in,
    e.telescope_overlap_in, e.minimum_order, e.pack_quantity, e.is_current,
    s.stock_left,
    coalesce(l.measured_count, 0) as measured_count,
    l.is_rectangular, l.bulge_longest_in, l.bulge_second_in, l.bulge_shortest_in
from entries as e
left join learned as l on l.carton_code = e.today_code
left join marts.carton_stock as s on s.carton_code = e.today_code
order by e.today_code, e.effective_from
