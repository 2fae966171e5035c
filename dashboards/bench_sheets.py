"""Sheets for the packing bench: one per item type and packing method, to print. Drawn from analysis.bench_sheets.

Where heavy parcels or a knife can hurt somebody, the usual caution stands on the sheet and defers to the shop's own
rules.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from dashboards import formats, pages
from dashboards.carton_drawing import carton_drawing
from dashboards.pictures import Picture
from models.columns.goods import TURNED_SIDES
from models.packing.geometry import CAUTION
from models.rows import as_dicts
from models.shop_units import Units, measure_of

TABLE = "analysis.bench_sheets"
# 23 kg, the load constant of the lifting equation: the most that the best posture allows.
# T. R. Waters, V. Putz-Anderson, A. Garg, "Applications Manual for the Revised NIOSH Lifting Equation", DHHS (NIOSH)
# Publication 94-110, 1994.
HEAVY_LB = 51.0
# From here two people, or an aid, are usual: half of it, as postures at a bench are not the best (common practice,
# no source).
AWKWARD_LB = HEAVY_LB / 2
LIFTING = (
    "Lift close to the body with bent knees, and do not twist. Your own workplace's rules and your doctor's come first."
)
TWO_PEOPLE = "Heavy: lift it with two people or an aid."
ON_END = "Never stand it on end: its longest side lies."
SIDES = "Only the {} may be vertical."
LINES = (
    ("Carton", ("best_carton_code",)),
    ("How it may lie", ("turns",)),
    ("Inside, length x width x height", ("inside_length_in", "inside_width_in", "inside_height_in")),
    ("Closed, outside, at most about", ("length_in", "width_in", "height_in")),
    ("Room on every side", ("clearance_in",)),
    ("Usual minutes", ("pack_minutes",)),
    ("Weight on the scale, about", ("expected_weight_lb",)),
)
CUT_LINES = (
    ("Mark all four walls, up from the table", ("score_at_in",)),
    ("Slit the corners down to the mark, then cut off what stands above", ("trim_at_in",)),
    ("Score and fold at the mark: flaps of", ("flap_in",)),
    ("Half the width, the least flap", ("needed_flap_in",)),
)


@dataclass(frozen=True)
class Shown:
    """A value with the column it came from."""

    column: str
    text: str


@dataclass(frozen=True)
class Sheet:
    """One sheet: headings, lines of a label and its values, lines on the cut, cautions."""

    row: int
    item_type: str
    packing_method: str
    lines: Sequence[tuple[str, Sequence[Shown]]]
    cut_lines: Sequence[tuple[str, Sequence[Shown]]]
    cautions: Sequence[str]
    drawing: Picture | None = None


def render(shop_name: str, made_at: dt.datetime, rows: pd.DataFrame, units: Units) -> str:
    """The sheets as one HTML page, a sheet of paper each. rows: analysis.bench_sheets, in the order to be printed."""
    sheets = [_sheet(number, row, units) for number, row in enumerate(as_dicts(rows))]
    return pages.page("bench_sheets.html", {}, shop_name=shop_name, made_at=made_at, sheets=sheets, table=TABLE)


def _sheet(number: int, row: dict[str, object], units: Units) -> Sheet:
    is_cut = bool(row["is_cut"])
    return Sheet(
        row=number,
        item_type=str(row["item_type"]),
        packing_method=str(row["packing_method"]),
        lines=_lines(LINES, row, units),
        cut_lines=_lines(CUT_LINES, row, units) if is_cut else (),
        cautions=_cautions(row, is_cut),
        drawing=carton_drawing(row, number, TABLE, units) if is_cut else None,
    )


def _lines(
    stated: Sequence[tuple[str, Sequence[str]]], row: dict[str, object], units: Units
) -> list[tuple[str, list[Shown]]]:
    return [
        (label, [Shown(units.name(name), _written(name, row[name], units)) for name in names])
        for label, names in stated
        if not all(formats.is_unknown(row[name]) for name in names)
    ]


def _written(column: str, value: object, units: Units) -> str:
    measure = measure_of(column)
    if measure is None or formats.is_unknown(value):
        return formats.shown(value, column, units)
    return units.at_bench(measure, float(str(value)))


def _cautions(row: dict[str, object], is_cut: bool) -> list[str]:
    weight = row["expected_weight_lb"]
    is_heavy = not formats.is_unknown(weight) and float(str(weight)) >= AWKWARD_LB
    return [*_turned(row), *([CAUTION + "."] if is_cut else []), *([TWO_PEOPLE] if is_heavy else []), LIFTING]


def _turned(row: dict[str, object]) -> list[str]:
    """What the packer must know of goods that may not lie any way."""
    turns = str(row["turns"])
    if turns in TURNED_SIDES:
        return [SIDES.format(turns)]
    return [ON_END] if turns == "not on end" else []
