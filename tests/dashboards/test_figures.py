from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pandas as pd
import pytest

from dashboards import curves, figures, intervals, pages, palette
from dashboards.parts import Figure, Frame, Panel, Review, Section, say
from dashboards.review import render
from models.shop_units import Units
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
    }
)


def only(figure: Figure) -> dict[str, Any]:
    (trace,) = figure["data"]
    assert json.loads(pages.figure_json(figure)) == figure
    return dict(trace)


def test_bars_below_zero_are_hatched_and_in_another_tone() -> None:
    trace = only(figures.ranked_bars(RATES, FRAME, ["item_type"], "spend_cents"))
    assert trace["x"] == [-12.5, 400.0, None]
    assert trace["y"] == ["tripod", "mount", "optical tube"]
    assert trace["text"] == ["-$12.50", "$400.00", "unknown"]
    assert trace["marker"]["color"] == [palette.VERMILION, palette.BLUE, palette.BLUE]
    assert trace["marker"]["pattern"]["shape"] == ["/", "", ""]


def test_amounts_are_drawn_in_the_major_unit_of_the_currency() -> None:
    for currency, divisor in (("USD", 100), ("JPY", 1), ("KWD", 1000)):
        assert figures.values(RATES.iloc[:2], "spend_cents", Units(currency)) == [-1250 / divisor, 40000 / divisor]


def test_lines_of_an_interval_end_at_the_cells() -> None:
    trace = only(intervals.interval_points(RATES, FRAME, ["item_type"], "damage_rate", "low_rate", "high_rate"))
    reach = trace["error_x"]
    assert trace["x"] == [0.02, None, 0.05]
    assert [trace["x"][0] - reach["arrayminus"][0], trace["x"][0] + reach["array"][0]] == pytest.approx([0.01, 0.04])
    assert reach["array"][1:] == [None, None]
    assert reach["arrayminus"][2] == pytest.approx(0.02)
    assert trace["customdata"] == ["2.0% (1.0% to 4.0%)", "unknown (0.0% to 20.0%)", "5.0% (3.0% to unknown)"]


def test_a_curve_runs_along_its_measure_and_names_the_rows_it_took() -> None:
    trace = only(curves.curve(RATES, FRAME, "size_count", "spend_cents"))
    assert trace["x"] == [1.0, 2.0, 3.0]
    assert trace["y"] == [400.0, None, -12.5]
    assert trace["meta"] == {"table": "analysis.rates", "column": "spend_cents", "rows": [1, 2, 0]}


def test_a_split_gives_each_kind_its_own_tone_mark_and_stroke() -> None:
    foam, paper = curves.curve(RATES, FRAME, "size_count", "damage_rate", split="packing_method")["data"]
    assert [foam["name"], paper["name"]] == ["foam", "paper"]
    assert foam["line"]["color"] != paper["line"]["color"]
    assert foam["line"]["dash"] != paper["line"]["dash"]
    assert foam["marker"]["symbol"] != paper["marker"]["symbol"]


def test_points_stand_in_the_order_of_the_rows_not_of_their_kinds() -> None:
    rows = RATES.iloc[[2, 0, 1]]
    figure = figures.split_points(rows, FRAME, ["item_type"], "damage_rate", "packing_method")
    assert figure["layout"]["yaxis"]["categoryarray"] == ["optical tube", "tripod", "mount"]
    assert {label for trace in figure["data"] for label in trace["y"]} == {"optical tube", "tripod", "mount"}


def test_a_label_of_two_columns_stands_on_two_lines() -> None:
    assert figures.row_labels(RATES.iloc[:1], ["item_type", "packing_method"]) == ["tripod<br>foam"]
    long = pd.DataFrame({"item_type": ["refractor tube with long case"]})
    assert figures.row_labels(long, ["item_type"]) == ["refractor tube<br>with long ca…"]


def test_an_unknown_property_is_refused_before_it_reaches_a_page() -> None:
    with pytest.raises(ValueError, match="Invalid property"):
        figures.finished([], {"no_such_property": 1})


def lead(review: Review) -> tuple[Any, ...]:
    return say("{item_type}: {damage_rate}.", "analysis.rates", review.table("analysis.rates"))


ADDED = Section(
    order=50,
    name="rates",
    title="Rates",
    lead=lead,
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
            when_empty="There are no rates.",
        ),
    ),
)


def test_a_section_can_be_added_from_a_table_that_no_contract_knows() -> None:
    root = parsed(render(shop.review(tables={"analysis.rates": RATES}), [ADDED]))
    assert by_id(root, "rates").all("p")[0].text() == "tripod: 2.0%."
    cells = [each.text() for each in by_id(root, "rate-points-table").all("tr")[2].all("td")]
    assert cells == ["foam", "unknown", "0.0%", "20.0%"]
    assert [each.attributes["data-filter"] for each in root.all("select")] == ["item_type", "packing_method"]


def test_a_sentence_can_only_name_columns_of_its_table() -> None:
    with pytest.raises(KeyError):
        say("{no_such_column}", "analysis.rates", RATES)
