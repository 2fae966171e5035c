"""Goods too long for any carton: two of a carton that the shop marks as fit, priced by the one rating."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd

from dashboards.bench_sheets import render
from dashboards.cautions import TELESCOPING
from models.shop_units import Units
from sample_data.literal_rating import Parcel, rate, tariff_on
from tests.pipelines.build.planted_cartons import TARIFFS
from tests.pipelines.build.test_carton_plans import DAY
from tests.pipelines.build.test_cartons import SHORT, parcel, tables

# 60 in long; inside two of SHORT with 30 in of overlap, 8.18 x 8.18 x 61, it has an inch clear on every side.
POLE = {"item_type": "tripod", "length_in": 59, "width_in": 6, "height_in": 6, "turns": "any"}
FIT = {**SHORT, "telescope_overlap_in": 30, "unit_cost_cents": 250}
HUGE = {**SHORT, "carton_code": "HUGE", "inside_length_in": 10, "inside_width_in": 10, "inside_height_in": 62}
# A carton of the bench's own making, in no catalogue.
SENT = [parcel(1, carton_code="OWN", length_in=64, width_in=13, height_in=13)]


def found(*stock: dict[str, Any], **pole: Any) -> dict[str, pd.DataFrame]:
    return tables(SENT, stock, [{**POLE, **pole}])


def best(of: dict[str, pd.DataFrame]) -> str:
    (row,) = of["analysis.best_cartons"].to_dict("records")
    return str(row["best_carton_code"])


def test_two_cartons_are_priced_as_one_that_costs_twice() -> None:
    (row,) = found(FIT)["analysis.best_cartons"].to_dict("records")
    tariff = tariff_on(TARIFFS, "Northline", DAY)
    assert tariff is not None and row["best_carton_code"] == "2 x SHORT" and not row["is_cut"]
    closed = (61 + 4 * 0.16, 8.5 + 4 * 0.16, 8.5 + 4 * 0.16)
    carriage = rate(Parcel("ground", "5", DAY, closed, 13, is_residential=True), tariff).total_cents
    assert row["best_cents"] == carriage + 2 * 250


def test_they_are_offered_only_where_no_carton_alone_holds_the_goods() -> None:
    assert best(found(FIT, HUGE)) == "HUGE"
    assert best(found({**FIT, "telescope_overlap_in": None})) == "OWN"
    # A sixteenth too long.
    assert best(found(FIT, length_in=59 + 1 / 16)) == "OWN"


def test_the_bench_sheet_says_how() -> None:
    shown = found(FIT)
    sheets = shown["analysis.bench_sheets"]
    assert sheets["telescope_overlap_in"].tolist() == [30] and sheets["best_carton_code"].tolist() == ["2 x SHORT"]
    page = render("Shop", dt.datetime(2026, 11, 1), sheets, shown["analysis.bench_carriers"], Units("USD"))
    assert "Slide two into one another, over at least" in page and TELESCOPING.split(".")[0] in page
    plain = found(HUGE)
    page = render(
        "Shop", dt.datetime(2026, 11, 1), plain["analysis.bench_sheets"], plain["analysis.bench_carriers"], Units("USD")
    )
    assert "Slide two" not in page
