"""Bench sheets: every figure is a cell of analysis.bench_sheets, cautions stand where something can hurt."""

from __future__ import annotations

import datetime as dt
import re
from fractions import Fraction
from html import unescape

import pandas as pd
import pytest

from dashboards.bench_sheets import HEAVY_LB, LIFTING, TWO_PEOPLE, render
from models.contracts import validated
from models.packing.geometry import CAUTION
from models.shop_units import Units
from models.tables import TABLES

WHOLE = {
    "item_type": "tripod",
    "packing_method": "paper",
    "best_carton_code": "C-46",
    "parcel_count": 120,
    "inside_length_in": 8.58,
    "inside_width_in": 8.58,
    "inside_height_in": 45.35,
    "length_in": 46.25,
    "width_in": 8.9,
    "height_in": 8.9,
    "is_cut": False,
    "score_at_in": None,
    "trim_at_in": None,
    "flap_in": None,
    "needed_flap_in": None,
    "clearance_in": 1.0,
    "expected_weight_lb": 15.0,
    "material_cents": 95,
    "pack_minutes": 6.0,
    "saving_cents": 192_131,
}
CUT = WHOLE | {
    "item_type": "rocker base",
    "best_carton_code": "L-26",
    "inside_height_in": 11.0,
    "is_cut": True,
    "score_at_in": 11.31,
    "trim_at_in": 24.58,
    "flap_in": 13.27,
    "needed_flap_in": 13.27,
    "expected_weight_lb": 31.0,
}


INCHES = Units("USD")


def page(*rows: dict[str, object], units: Units = INCHES) -> str:
    frame = pd.DataFrame(list(rows), columns=list(TABLES["analysis.bench_sheets"].columns))
    held = validated(frame, TABLES["analysis.bench_sheets"], "the test")
    return render("Fernmoor Optics", dt.datetime(2026, 11, 20, 9, 0), held, units)


def test_every_figure_is_a_cell_of_the_table() -> None:
    text = page(WHOLE, CUT)
    shown = re.findall(r'<bdi[^>]* data-row="(\d)" data-column="(\w+)">([^<]*)<', text)
    assert {(row, column) for row, column, _ in shown} >= {("0", "inside_height_in"), ("1", "score_at_in")}
    for row, column, written in shown:
        value = (WHOLE, CUT)[int(row)][column]
        if column.endswith("_in"):
            whole, _, part = written.removesuffix(" in").partition(" ")
            assert int(whole) + Fraction(part or 0) == Fraction(round(float(str(value)) * 16), 16)
        else:
            assert written.removesuffix(" lb") == (f"{value:g}" if isinstance(value, float) else value)


def test_only_a_carton_to_be_cut_has_marks_and_the_caution_on_knives() -> None:
    whole, cut = unescape(page(WHOLE)), unescape(page(CUT))
    assert "Do not cut." in whole and CAUTION not in whole and "score_at_in" not in whole
    assert CAUTION in cut and "11 5/16 in" in cut and "Do not cut." not in cut


def test_lifting_is_on_every_sheet_and_heavy_ones_ask_for_help() -> None:
    light, heavy = page(WHOLE), page(CUT)
    assert all("Your own workplace" in text and "rules" in text for text in (light, heavy))
    assert TWO_PEOPLE not in light and TWO_PEOPLE in heavy
    assert LIFTING.startswith("Lift close to the body")


def test_unknown_weight_is_left_out() -> None:
    assert "Weight on the scale" not in page(WHOLE | {"expected_weight_lb": None})


@pytest.mark.published
def test_the_load_constant_of_the_lifting_equation() -> None:
    """Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication 94-110 (1994): LC = 51 lb,
    23 kg."""
    assert HEAVY_LB == 51 and round(HEAVY_LB * 0.45359237) == 23


def test_hostile_names_stay_text_and_nothing_is_fetched() -> None:
    text = page(WHOLE | {"item_type": "<script>alert(1)</script>", "best_carton_code": '"><img src=x>'})
    assert "<script>alert" not in text and "<img" not in text
    assert "script-src 'none'" in unescape(text) and not re.search(r'(?:src|href)="(?!#|data:,)', text)


def test_no_rows_get_a_sentence() -> None:
    assert "No item type has a carton yet" in page()


def test_how_goods_may_lie_is_told() -> None:
    assert "Never stand it on end" in page(WHOLE | {"turns": "not on end"})
    assert "Only the height or width may be vertical." in page(WHOLE | {"turns": "height or width"})
    for turns in ("any", None):
        shown = page(WHOLE | {"turns": turns})
        assert "on end" not in shown and "may be vertical" not in shown
