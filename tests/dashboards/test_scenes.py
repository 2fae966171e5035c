"""A box drawn in space: true to scale, no corner off the page, no wider than it says."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dashboards.scenes import EYE, HEIGHT_PX, UNIT_PX, scene_layout
from models.packing.needed import Sides

PAGE_PX = 1000
LENGTHS = st.floats(1, 120)


def on_the_page(sides: Sides) -> tuple[float, float]:
    """Pixels across and up of a box of these sides in units of the scene, its corners turned by two angles."""
    east, north, up = EYE
    around, above = np.arctan2(east, -north), np.arctan2(up, np.hypot(east, north))
    corners = np.array(list(product(*((0.0, side) for side in sides))))
    across = corners[:, 0] * np.cos(around) + corners[:, 1] * np.sin(around)
    away = corners[:, 1] * np.cos(around) - corners[:, 0] * np.sin(around)
    upwards = corners[:, 2] * np.cos(above) + away * np.sin(above)
    return float(np.ptp(across)) * UNIT_PX, float(np.ptp(upwards)) * UNIT_PX


@settings(derandomize=True, deadline=None, max_examples=100)
@given(st.tuples(LENGTHS, LENGTHS, LENGTHS))
def test_the_whole_box_is_on_the_page(sides: Sides) -> None:
    layout = scene_layout(sides, "in")
    ratio = layout["scene"]["aspectratio"]
    drawn = (ratio["x"], ratio["y"], ratio["z"])
    assert np.array(drawn) / drawn[0] == pytest.approx(np.array(sides) / sides[0])
    across, upwards = on_the_page(drawn)
    assert across < layout["meta"]["width_px"] < PAGE_PX
    assert upwards < HEIGHT_PX - 100
    assert across > 0.7 * PAGE_PX or upwards > 0.7 * HEIGHT_PX


def test_the_axes_are_the_carton() -> None:
    scene = scene_layout((48.0, 9.0, 8.0), "in")["scene"]
    assert [scene[f"{at}axis"]["range"] for at in "xyz"] == [[0, 48], [0, 9], [0, 8]]
    assert scene["xaxis"]["nticks"] > scene["yaxis"]["nticks"] >= 2
