"""How a piece lies and where a carton is cut: the drawing's lengths are the bench sheet's, to one scale."""

from __future__ import annotations

import pytest

from dashboards.bench_sheets import TABLE
from dashboards.carton_drawing import ABOVE, CUT_FRONT, FRONT, LIES, carton_drawing
from dashboards.pictures import Picture
from dashboards.pictures.svg import DESK, PHONE, svg
from models.shop_units import INCH, METRIC, Units
from tests.dashboards.pictures.drawn import marks, parsed, rects, texts
from tests.dashboards.test_bench_sheets import CUT, LYING, WHOLE, page


@pytest.mark.parametrize("width", [PHONE, DESK])
@pytest.mark.parametrize("system", [INCH, METRIC])
def test_wall_and_flap_are_drawn_to_one_scale(width: float, system: str) -> None:
    long, score, trim = (float(str(CUT[name])) for name in ("inside_length_in", "score_at_in", "trim_at_in"))
    root = parsed(svg(drawing(CUT, Units("USD", system)), width))
    wall, flap = (rects(mark)[0] for mark in marks(root)[:2])
    per_inch = (wall.right - wall.left) / long
    assert (wall.bottom - wall.top) / per_inch == pytest.approx(score, rel=0.01)
    assert (flap.bottom - flap.top) / per_inch == pytest.approx(trim - score, rel=0.01)
    assert flap.bottom == pytest.approx(wall.top, abs=0.11), "the flap stands on the score line"


def test_measures_are_those_of_the_rule() -> None:
    inches = {box.text for box in texts(parsed(svg(drawing(CUT, Units("USD")))))}
    assert {"score at 11 5/16 in", "flaps of 13 1/4 in"} <= inches
    metric = {box.text for box in texts(parsed(svg(drawing(CUT, Units("EUR", METRIC)))))}
    assert {"score at 28.7 cm", "flaps of 33.7 cm"} <= metric


def drawing(row: dict[str, object], units: Units) -> Picture:
    made = carton_drawing(row, 0, TABLE, units)
    assert made is not None
    return made


def test_the_piece_lies_within_the_carton_in_both_views() -> None:
    blocks = {(block.view, block.number): block for block in drawing(WHOLE | LYING, Units("USD")).blocks}
    assert {view for view, _ in blocks} == {FRONT, ABOVE}
    front, above = blocks[FRONT, "piece"], blocks[ABOVE, "piece"]
    assert (front.left, front.bottom, front.width, front.height) == (1.0, 1.0, 6.0, 43.0)
    assert (above.left, above.bottom, above.width, above.height) == (1.0, 1.0, 6.0, 6.0)
    for view, piece in ((FRONT, front), (ABOVE, above)):
        inside = blocks[view, ""]
        assert piece.left + piece.width <= inside.width and piece.bottom + piece.height <= inside.height


def test_behind_a_cut_wall_the_piece_stands_on_the_bottom_flaps() -> None:
    lying = dict(zip(LIES, (24.0, 24.0, 9.0, 1.0, 1.0, 1.0), strict=True))
    blocks = {(block.view, block.number): block for block in drawing(CUT | lying, Units("USD")).blocks}
    assert blocks[CUT_FRONT, "piece"].bottom == pytest.approx(11.31 - 11.0 + 1.0)


def test_a_whole_carton_without_a_placement_has_no_drawing() -> None:
    assert carton_drawing(WHOLE, 0, TABLE, Units("USD")) is None
    assert page(WHOLE).count("<svg") == 0
    assert page(WHOLE, CUT).count("<svg") == page(WHOLE | LYING).count("<svg") == 2, "for a desk and for a phone"
