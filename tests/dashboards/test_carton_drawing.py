"""Where a carton is cut: the drawing's lengths are the bench sheet's, to one scale; a whole carton has none."""

from __future__ import annotations

import datetime as dt

import pandas as pd
import pytest

from dashboards.bench_sheets import TABLE, render
from dashboards.carton_drawing import carton_drawing
from dashboards.pictures.svg import DESK, PHONE, svg
from models.shop_units import INCH, METRIC, Units
from tests.dashboards.pictures.drawn import marks, parsed, rects, texts
from tests.dashboards.test_bench_sheets import CUT, WHOLE


@pytest.mark.parametrize("width", [PHONE, DESK])
@pytest.mark.parametrize("system", [INCH, METRIC])
def test_wall_and_flap_are_drawn_to_one_scale(width: float, system: str) -> None:
    long, score, trim = (float(str(CUT[name])) for name in ("inside_length_in", "score_at_in", "trim_at_in"))
    root = parsed(svg(carton_drawing(CUT, 0, TABLE, Units("USD", system)), width))
    wall, flap = (rects(mark)[0] for mark in marks(root)[:2])
    per_inch = (wall.right - wall.left) / long
    assert (wall.bottom - wall.top) / per_inch == pytest.approx(score, rel=0.01)
    assert (flap.bottom - flap.top) / per_inch == pytest.approx(trim - score, rel=0.01)
    assert flap.bottom == pytest.approx(wall.top, abs=0.11), "the flap stands on the score line"


def test_measures_are_those_of_the_rule() -> None:
    inches = {box.text for box in texts(parsed(svg(carton_drawing(CUT, 0, TABLE, Units("USD")))))}
    assert {"score at 11 5/16 in", "flaps of 13 1/4 in"} <= inches
    metric = {box.text for box in texts(parsed(svg(carton_drawing(CUT, 0, TABLE, Units("EUR", METRIC)))))}
    assert {"score at 28.7 cm", "flaps of 33.7 cm"} <= metric


def test_only_a_carton_that_is_cut_has_a_drawing() -> None:
    made_at = dt.datetime(2026, 11, 1, 9)
    whole, both = (
        render("Shop", made_at, pd.DataFrame(rows).assign(turns="any"), Units("USD"))
        for rows in ([WHOLE], [WHOLE, CUT])
    )
    assert whole.count("<svg") == 0
    assert both.count("<svg") == 2, "for a desk and for a phone"
