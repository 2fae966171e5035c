"""Descriptions of figures: every mark is a cell of its table, in the unit that the shop sees."""

from __future__ import annotations

import datetime as dt

import pandas as pd
import pytest

from dashboards import curves, figures, intervals, stacks
from dashboards.panels import Frame, Panel, Section, every_row
from dashboards.pictures import Tone
from dashboards.review import render_sections
from dashboards.views import MOST_ROWS, view
from models.shop_units import METRIC, Units
from tests.dashboards import shop
from tests.dashboards.markup import by_id, parsed

FRAME = Frame("analysis.rates", Units("USD"), dt.date(2026, 10, 1))
RATES = pd.DataFrame(
    {
        "item_type": ["tripod", "mount", "optical tube"],
        "packing_method": ["foam", "foam", "paper"],
        "damage_rate": [0.02, None, 0.05],
        "low_rate": [0.01, 0.0, 0.03],
        "high_rate": [0.04, 0.2, None],
        "size_count": [3, 1, 2],
        "spend_cents": [-1250, 40000, None],
        "length_in": [48.0, 12.0, 30.0],
        "shipped_month": pd.to_datetime(["2026-08-01", "2026-09-01", "2026-10-01"]),
    }
)


def test_bars_below_zero_have_another_tone_and_unknown_ones_are_not_drawn() -> None:
    drawn = figures.ranked_bars(RATES, FRAME, ["item_type"], "spend_cents").drawn
    assert [(mark.label, mark.value, mark.text, mark.row) for mark in drawn] == [
        ("tripod", -12.5, "-$12", 0),
        ("mount", 400.0, "$400", 1),
    ]
    assert [mark.tone for mark in drawn] == [Tone.BAD, Tone.PLAIN]


def test_a_rise_of_cost_is_bad_and_a_rise_of_margin_is_good() -> None:
    costs = figures.ranked_bars(RATES, FRAME, ["item_type"], "spend_cents", figures.cost_change).drawn
    assert [mark.tone for mark in costs] == [Tone.GOOD, Tone.BAD]
    assert [figures.better_or_worse(value) for value in (-1.0, 1.0)] == [Tone.BAD, Tone.GOOD]


def test_amounts_are_drawn_in_the_major_unit_of_the_currency() -> None:
    for currency, divisor in (("USD", 100), ("JPY", 1), ("KWD", 1000)):
        assert figures.values(RATES.iloc[:2], "spend_cents", Units(currency)) == [-1250 / divisor, 40000 / divisor]


def test_measures_are_drawn_in_the_units_of_the_shop() -> None:
    metric = Frame("analysis.rates", Units("EUR", METRIC), dt.date(2026, 10, 1))
    picture = figures.ranked_bars(RATES, metric, ["item_type"], "length_in")
    assert [mark.value for mark in picture.marks] == pytest.approx([121.92, 30.48, 76.2])
    assert {mark.column for mark in picture.marks} == {"length_cm"}


@pytest.mark.parametrize(
    ("cents", "texts"),
    [([-40, 999_960], ["$0", "$10,000"]), ([-449, 250], ["-$4.49", "$2.50"]), ([1000, 4], ["$10", "$0"])],
)
def test_amounts_are_whole_where_the_largest_is_large(cents: list[int], texts: list[str]) -> None:
    rows = pd.DataFrame({"spend_cents": cents})
    assert figures.written(rows, "spend_cents", Units("USD")) == texts


def test_shares_lose_their_decimals_from_ten_percent_on() -> None:
    rows = pd.DataFrame({"damage_rate": [0.0, 0.004, 0.0999, 0.104, 0.996, 1.0, None]})
    texts = ["0%", "0.4%", "10%", "10%", "99.6%", "100%", "not known"]
    assert figures.written(rows, "damage_rate", Units("USD")) == texts


def test_lines_of_an_interval_end_at_the_cells() -> None:
    picture = intervals.interval_points(RATES, FRAME, ["item_type"], "damage_rate", "low_rate", "high_rate")
    assert [(mark.value, mark.low, mark.high) for mark in picture.drawn] == [(0.02, 0.01, 0.04), (0.05, 0.03, None)]
    assert [mark.text for mark in picture.drawn] == ["2% (1% to 4%)", "5% (3% or more)"]


def test_a_curve_runs_along_its_measure_and_names_the_rows_it_took() -> None:
    picture = curves.steps(RATES, FRAME, "size_count", "spend_cents")
    assert [(mark.at, mark.value, mark.row) for mark in picture.marks] == [(1, 400.0, 1), (2, None, 2), (3, -12.5, 0)]


def test_months_stand_at_their_ordinals_and_each_column_is_a_series() -> None:
    picture = curves.time_lines(RATES, FRAME, ["spend_cents", "damage_rate"])
    assert [mark.at for mark in picture.of_series(1)] == [2026 * 12 + 7, 2026 * 12 + 9]
    assert picture.series == ("Spend", "Corrected rate")


def test_a_stack_has_a_piece_per_column_and_the_sum_of_the_table() -> None:
    picture = stacks.stacked_rows(RATES.iloc[:2], FRAME, ["item_type"], ["spend_cents", "length_in"], "spend_cents")
    assert [(mark.label, mark.series) for mark in picture.marks] == [
        *(("tripod", 0), ("mount", 0)),
        *(("tripod", 1), ("mount", 1)),
    ]
    assert [mark.text for mark in picture.totals] == ["-$12", "$400"]


def test_a_grid_has_a_cell_per_row_and_marks_the_unusual_one() -> None:
    rows = RATES.assign(is_odd=[False, True, False])
    picture = stacks.grid(rows, FRAME, "item_type", "packing_method", "size_count", "is_odd")
    assert [(mark.label, mark.across, mark.value) for mark in picture.drawn] == [
        ("tripod", "foam", 3.0),
        ("mount", "foam", 1.0),
        ("optical tube", "paper", 2.0),
    ]
    assert [mark.tone is Tone.MARKED for mark in picture.drawn] == [False, True, False]


def test_equal_labels_of_different_rows_get_a_number() -> None:
    rows = pd.concat([RATES.iloc[:1], RATES.iloc[:1]])
    assert figures.row_labels(rows, ["item_type", "packing_method"]) == ["tripod, foam", "tripod, foam (2)"]


def test_one_bar_and_a_flat_line_tell_nothing_that_a_number_does_not() -> None:
    assert not figures.ranked_bars(RATES.iloc[:1], FRAME, ["item_type"], "size_count").says_something
    assert figures.ranked_bars(RATES, FRAME, ["item_type"], "size_count").says_something
    flat = RATES.assign(spend_cents=500)
    assert not curves.time_lines(flat, FRAME, ["spend_cents"]).says_something
    assert curves.time_lines(RATES, FRAME, ["spend_cents"]).says_something


def test_of_many_rows_the_first_are_drawn_and_the_rest_counted() -> None:
    many = pd.DataFrame({"item_type": [f"type {at}" for at in range(40)], "spend_cents": range(40)})
    picture = figures.ranked_bars(many, FRAME, ["item_type"], "spend_cents")
    assert len(picture.marks) == figures.MOST_BARS
    assert picture.left_out == 40 - figures.MOST_BARS
    assert "28 more in the table" in picture.alt


ADDED = Section(
    order=50,
    name="rates",
    title="Rates",
    lead=(),
    parts=(
        Panel(
            name="rate-points",
            title="Rates with their intervals",
            table="analysis.rates",
            columns=("item_type", "packing_method", "damage_rate", "low_rate", "high_rate"),
            choose=lambda review, rows: rows,
            draw=lambda rows, frame: intervals.interval_points(
                rows, frame, ["item_type"], "damage_rate", "low_rate", "high_rate"
            ),
            when_empty=("page.no_rows",),
        ),
    ),
)


def test_a_section_can_be_added_from_a_table_that_no_contract_knows() -> None:
    root = parsed(render_sections(shop.review(tables={"analysis.rates": RATES}), [ADDED]))
    cells = [each.text() for each in by_id(root, "rate-points-table").all("tr")[2].all("td")]
    assert cells == ["foam", "not known", "0.0%", "20.0%"]
    assert root.all("select") == [], "filters stand in chapters"
    marks = [each for each in root.all("g") if "data-row" in each.attributes]
    assert [each.attributes["data-row"] for each in marks] == ["0", "2", "0", "2"]
    assert {each.attributes["data-by-packing_method"] for each in marks} == {"0", "1"}


def test_the_picture_is_of_all_rows_though_the_page_writes_a_part_of_them() -> None:
    rows = pd.DataFrame({"item_type": [f"kind {n}" for n in range(60)], "spend_cents": [100 * n for n in range(60)]})
    panel = Panel(
        name="many",
        title="Many",
        table="analysis.many",
        columns=("item_type", "spend_cents"),
        choose=every_row,
        draw=lambda drawn, frame: figures.ranked_bars(drawn, frame, ["item_type"], "spend_cents"),
        when_empty=(),
    )
    shown = view(panel, shop.review(tables={"analysis.many": rows}))
    assert (len(shown.lines), shown.left_out) == (MOST_ROWS, 60 - MOST_ROWS)
    assert shown.picture is not None and shown.picture.left_out == 60 - figures.MOST_BARS
