-- One row per entry of two cartons slid into one another, in the form of the catalogue: never cut, and no stock of its own.
select
    coalesce('2 x ' || r.today_code, t.carton_code) as carton_code,
    t.effective_from,
    coalesce(t.effective_before, r.renamed_on) as effective_before,
    'telescoped' as carton_style,
    t.inside_length_in, t.inside_width_in, t.inside_height_in, t.outside_length_in, t.outside_width_in,
    t.outside_height_in, t.board_in, t.tare_lb, t.unit_cost_cents,
    false as is_cuttable,
    cast(null as double) as minimum_height_in,
    t.telescope_overlap_in,
    n.carton_code is not null and r.carton_code is null as is_current,
    0 as measured_count
from core.telescoped_cartons as t
left join core.current_cartons as n on n.carton_code = t.single_code and n.effective_from = t.effective_from
left join core.renamed_cartons as r on r.carton_code = t.single_code
order by t.carton_code, t.effective_from
