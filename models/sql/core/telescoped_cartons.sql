-- One row per entry of a carton that the shop marks as fit to be slid over another one of its kind, for goods too long.
-- Both keep one closed end. Inside: twice the height less the overlap; the inner one lies within the outer one's walls,
-- so that a board is lost on each side. Outside: the outer one, spread by the inner one's board on each side, and the two
-- closed ends, two boards each. Board not stated counts as 5/32 in (common practice, no source).
-- Telescope boxes made as such, lid over body, are style 03xx of the FEFCO-ESBO code (number from memory); these are not.
select
    '2 x ' || c.carton_code as carton_code,
    c.carton_code as single_code,
    c.effective_from, c.effective_before,
    c.inside_length_in - 2 * coalesce(c.board_in, 0.15625) as inside_length_in,
    c.inside_width_in - 2 * coalesce(c.board_in, 0.15625) as inside_width_in,
    2 * c.inside_height_in - c.telescope_overlap_in as inside_height_in,
    c.outside_length_in + 2 * coalesce(c.board_in, 0.15625) as outside_length_in,
    c.outside_width_in + 2 * coalesce(c.board_in, 0.15625) as outside_width_in,
    2 * c.inside_height_in - c.telescope_overlap_in + 4 * coalesce(c.board_in, 0.15625) as outside_height_in,
    c.board_in,
    2 * c.tare_lb as tare_lb,
    2 * c.unit_cost_cents as unit_cost_cents,
    c.telescope_overlap_in
from core.cartons as c
where
    c.telescope_overlap_in < c.inside_height_in
    and c.inside_width_in > 2 * coalesce(c.board_in, 0.15625)
    and coalesce(c.carton_style, '') <> 'tube'
