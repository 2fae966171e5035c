"""Pictures as they are drawn: lengths are the cells to scale, no text meets another, hostile names stay names."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from itertools import combinations
from typing import Literal
from xml.etree import ElementTree

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dashboards import curves, figures, intervals, stacks
from dashboards.panels import Frame
from dashboards.pictures import Kind, Limit, Picture, scales
from dashboards.pictures.picture import Axis
from dashboards.pictures.svg import DESK, PHONE, both_widths, svg
from models.columns import Display
from models.shop_units import INCH, METRIC, Units
from tests.dashboards.pictures.drawn import Box, frame, marks, parsed, rects, texts
from tests.sampling import tries

WIDTHS = (PHONE, DESK)
NO_SURROGATE: tuple[Literal["Cs"]] = ("Cs",)
NAMES = st.one_of(
    st.sampled_from(["tripod", "optical tube", "W" * 70, "rocker base with a very long second name", "<b>x</b> & co"]),
    st.text(st.characters(codec="utf-8", exclude_categories=NO_SURROGATE), min_size=1, max_size=40),
)
AMOUNTS = st.one_of(st.none(), st.integers(-(10**9), 10**9), st.integers(-900, 900))


def _frame(units: Units) -> Frame:
    return Frame("marts.item_type_costs", units, dt.date(2026, 10, 1))


def _rows(names: list[str], amounts: list[int | None]) -> pd.DataFrame:
    count = len(names)
    cents = pd.Series(amounts, dtype="Int64")
    months = pd.date_range("2025-05-01", periods=count, freq="MS")
    return pd.DataFrame(
        {
            "item_type": names,
            "packing_method": [name[::-1] for name in names],
            "carrier": names[::-1],
            "spend_cents": cents,
            "low_cents": cents - 4000,
            "high_cents": cents + 90,
            "length_in": [float(at + 1) for at in range(count)],
            "size_count": range(1, count + 1),
            "damage_count": range(1, count + 1),
            "shipped_month": months,
        }
    )


def _pictures(rows: pd.DataFrame, made: Frame) -> list[Picture]:
    by, limit = ["item_type", "carrier"], [Limit(1.0, "equal")]
    return [
        figures.ranked_bars(rows, made, by, "spend_cents"),
        figures.ranked_bars(rows, made, by, "length_in"),
        figures.waterfall(rows, made, "item_type", "spend_cents", "low_cents"),
        stacks.stacked_rows(rows, made, by, ["spend_cents", "low_cents", "high_cents"], "spend_cents"),
        stacks.stacked_months(rows, made, "damage_count", "item_type"),
        stacks.grid(rows, made, "item_type", "packing_method", "spend_cents"),
        curves.time_lines(rows, made, ["spend_cents", "low_cents", "high_cents"]),
        curves.time_lines(rows, made, ["spend_cents"], limits=("low_cents", "high_cents")),
        replace(curves.time_lines(rows, made, ["spend_cents"]), kind=Kind.SMALL_LINE),
        curves.steps(rows, made, "size_count", "spend_cents"),
        intervals.interval_points(rows, made, by, "spend_cents", "low_cents", "high_cents", "size_count", limit),
    ]


@st.composite
def pictures(draws: st.DrawFn) -> Picture:
    """A picture of any kind, of any names, values, signs and units."""
    names = draws(st.lists(NAMES, min_size=2, max_size=8, unique=True))
    amounts = draws(st.lists(AMOUNTS, min_size=len(names), max_size=len(names)))
    units = Units(draws(st.sampled_from(["USD", "JPY", "CHF"])), draws(st.sampled_from([INCH, METRIC])))
    made = _pictures(_rows(names, amounts), _frame(units))
    return draws(st.sampled_from([picture for picture in made if picture.says_something]))


@settings(derandomize=True, deadline=None, max_examples=tries(60))
@given(pictures(), st.sampled_from(WIDTHS))
def test_no_text_meets_another_or_leaves_the_picture(picture: Picture, width: float) -> None:
    root = parsed(svg(picture, width))
    written, shown = list(texts(root)), frame(root)
    outside = [box for box in written if box.left < shown.left - 0.1 or box.right > shown.right + 0.1]
    assert outside == []
    assert [box for box in written if box.top < shown.top - 0.1 or box.bottom > shown.bottom + 0.1] == []
    assert [(one, other) for one, other in combinations(written, 2) if one.meets(other)] == []


def test_the_reader_of_these_tests_sees_texts_that_meet() -> None:
    assert Box(0, 0, 10, 10).meets(Box(9, 9, 20, 20))
    assert not Box(0, 0, 10, 10).meets(Box(10, 0, 20, 10))


ROWS = _rows(["tripod", "mount", "optical tube", "eyepiece"], [-120_000, 40_000, None, 2_500])
PLAIN = _frame(Units("USD"))


@pytest.mark.parametrize("width", WIDTHS)
def test_bars_are_as_long_as_their_cells_and_begin_at_one_zero(width: float) -> None:
    picture = figures.ranked_bars(ROWS, PLAIN, ["item_type"], "spend_cents")
    drawn = marks(parsed(svg(picture, width)))
    cells = [ROWS["spend_cents"][int(mark.attrib["data-row"])] for mark in drawn]
    boxes = [rects(mark)[0] for mark in drawn]
    assert [mark.attrib["data-column"] for mark in drawn] == ["spend_cents"] * 3
    per_cent = boxes[0].right - boxes[0].left
    assert [(box.right - box.left) / per_cent for box in boxes] == pytest.approx(
        [abs(cell) / 120_000 for cell in cells], abs=0.3 / per_cent
    )
    zeros = {box.right if cell < 0 else box.left for box, cell in zip(boxes, cells, strict=True)}
    assert max(zeros) - min(zeros) <= 0.1


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("kind", [Kind.BARS, Kind.WATERFALL, Kind.ROW_STACKS, Kind.POINTS])
def test_upright_lines_run_beside_every_mark_and_through_no_name(kind: Kind, width: float) -> None:
    shown = next(picture for picture in _pictures(ROWS, PLAIN) if picture.kind is kind)
    root = parsed(svg(shown, width))
    lines = [path.attrib["d"] for path in root.iter("path") if path.attrib.get("class") in ("zero", "grid", "limit")]
    line = "".join(lines)
    found = [tuple(map(float, each)) for each in re.findall(r"M(\S+) (\S+)V([\d.]+)", line)]
    pieces = [Box(x - 0.5, top, x + 0.5, end) for x, top, end in found]
    names = [text for text in texts(root) if width == PHONE or text.text.startswith(tuple(ROWS["item_type"]))]
    assert len(names) > 2
    assert [(piece, text.text) for piece in pieces for text in names if piece.meets(text)] == []
    boxes = [box for mark in marks(root) for box in rects(mark)]
    assert len(boxes) > 2 or kind is Kind.POINTS
    assert [
        box for box in boxes if not any(piece.top < box.top and box.bottom < piece.bottom for piece in pieces)
    ] == []


@pytest.mark.parametrize("width", WIDTHS)
def test_each_bar_of_a_waterfall_begins_at_its_cell(width: float) -> None:
    rows = ROWS.assign(spend_cents=[50_000, -20_000, -10_000, 20_000], from_cents=[0, 50_000, 30_000, 0])
    root = parsed(svg(figures.waterfall(rows, PLAIN, "item_type", "spend_cents", "from_cents"), width))
    boxes = [rects(mark)[0] for mark in marks(root)]
    ends = [
        sorted((first, first + change)) for first, change in zip(rows["from_cents"], rows["spend_cents"], strict=True)
    ]
    scale = (boxes[0].right - boxes[0].left) / 50_000
    for box, (low, high) in zip(boxes, ends, strict=True):
        assert (box.left - boxes[0].left, box.right - boxes[0].left) == pytest.approx(
            (low * scale, high * scale), abs=0.2
        )


def test_the_points_of_a_line_lie_on_its_axis() -> None:
    """The scale is read off the ticks: their words say the value, their place the height."""
    root = parsed(svg(curves.time_lines(ROWS, PLAIN, ["spend_cents", "size_count"]), DESK))
    ticks = {
        float(box.text.replace("$", "").replace(",", "")): box
        for box in texts(root)
        if box.text.strip("-")[:1] == "$" and " " not in box.text
    }
    low, high = min(ticks), max(ticks)
    per_unit = (ticks[low].bottom - ticks[high].bottom) / (high - low)
    points = [mark.find("circle") for mark in marks(root) if mark.attrib["data-column"] == "spend_cents"]
    middle = {value: box.bottom - 0.25 * 13 - 4.5 for value, box in ticks.items()}
    for point, cents in zip(points, ROWS["spend_cents"].dropna(), strict=True):
        assert point is not None
        assert float(point.attrib["cy"]) == pytest.approx(middle[low] - (cents / 100 - low) * per_unit, abs=0.15)


HOSTILE = [
    "</text><script>alert(1)</script>",
    '" onload="alert(1)',
    "a\x00b\x1b[31m",
    "\u202egnp.exe",
    "שלום & co",
    "\ufffe",
]


@pytest.mark.parametrize("width", WIDTHS)
def test_hostile_names_stay_names(width: float) -> None:
    rows = _rows(HOSTILE, [(at + 1) * 900 for at in range(len(HOSTILE))])
    for picture in _pictures(rows, PLAIN):
        root = parsed(svg(picture, width))
        assert {each.tag for each in root.iter()} <= {"svg", "title", "desc", "g", "text", "path", "rect", "circle"}
        assert not any(name.startswith("on") for each in root.iter() for name in each.attrib)
        assert "\u202e" not in ElementTree.tostring(root, encoding="unicode")
    assert "שלום & co" in "".join(parsed(svg(_pictures(rows, PLAIN)[0], DESK)).itertext())


@pytest.mark.parametrize("width", WIDTHS)
def test_every_value_is_said_in_words(width: float) -> None:
    for picture in _pictures(ROWS, PLAIN):
        root = parsed(svg(picture, width))
        assert root.attrib["role"] == "img"
        stated = root.findtext("desc", "")
        assert all(mark.text in stated for mark in picture.drawn)


def test_what_is_not_known_is_not_drawn() -> None:
    for picture in _pictures(ROWS, PLAIN):
        unknown = {mark.row for mark in picture.marks if mark.value is None and mark.column == "spend_cents"}
        drawn = {
            int(mark.attrib["data-row"])
            for mark in marks(parsed(svg(picture)))
            if mark.attrib["data-column"] == "spend_cents"
        }
        assert not drawn & unknown


def test_a_figure_of_twelve_bars_is_light() -> None:
    rows = _rows([f"item type number {at}" for at in range(12)], [(-1) ** at * 98_765 for at in range(12)])
    picture = figures.ranked_bars(rows, PLAIN, ["item_type"], "spend_cents")
    assert max(len(svg(picture, width)) for width in WIDTHS) <= 6_000


def test_colours_are_classes_of_the_style_sheet_alone() -> None:
    for picture in _pictures(ROWS, PLAIN):
        drawn = both_widths(picture)
        assert "#" not in drawn and "rgb" not in drawn and 'fill="' not in drawn and "style=" not in drawn


@pytest.mark.parametrize(
    ("value", "text"), [(7.5, "$7.50"), (-2.5, "-$2.50"), (5, "$5"), (0.25, "$0.25"), (1_000, "$1,000"), (0, "$0")]
)
def test_amounts_on_an_axis_have_no_decimal_or_two(value: float, text: str) -> None:
    assert scales.written(value, Axis(display=Display.MONEY, sign="$")) == text
