"""Packing methods priced in the best carton of each, where the changes of carton end: given parcels, sums of both."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from models.settings.cartons import Cartons
from pipelines.build import cartons, repacking
from tests.pipelines.build.test_cartons import LONG, SHORT, listed, parcel
from tests.pipelines.parcels import JUDGED

NEEDED = (*JUDGED, "marts.coverage")
METHODS = [
    {"packing_method": "paper", "clearance_in": 1},
    {"packing_method": "thin", "clearance_in": 0.5},
    {"packing_method": "thick", "clearance_in": 1.25},
]
SNUG = {**SHORT, "carton_code": "SNUG", "inside_height_in": 44, "inside_length_in": 7.25, "inside_width_in": 7.25}
STOCK = [
    {**SHORT, "tare_lb": 1.5, "unit_cost_cents": 210},
    {**LONG, "tare_lb": 2.5, "unit_cost_cents": 150},
    {**SNUG, "tare_lb": 0.5, "unit_cost_cents": 90},
]
SENT = [parcel(number, scale_weight_lb=weight) for number, weight in enumerate((13.2, 40.0, 47.5))]
FILL = {"void_fill_cents_per_ft3": 600.0, "void_fill_lb_per_ft3": 2.0}


def both(**stated: Any) -> tuple[pd.DataFrame, pd.DataFrame]:
    """The best cartons of three tripods in LONG, and what every method would cost for each of them."""
    settings = Cartons(**stated)
    with listed(SENT, STOCK, packing_methods=METHODS, needed=NEEDED) as connection:
        best = cartons.review_tables(connection, settings)["analysis.best_cartons"]
        return best, repacking.method_carriage(connection, 100, settings)


@pytest.mark.parametrize("stated", [{}, FILL, {"cut_minutes": 0.1}, {**FILL, "cut_minutes": 9}])
def test_a_methods_gain_begins_where_the_change_of_carton_ends(stated: dict[str, Any]) -> None:
    best, methods = both(**stated)
    now = methods[methods["packing_method"] == "paper"]
    # What a parcel costs in its best carton is told less the void fill of LONG, 7.5 x 7.5 x 47.5 in less 44 x 7 x 7.
    used = round((7.5 * 7.5 * 47.5 - 44 * 7 * 7) * stated.get("void_fill_cents_per_ft3", 0) / 1728)
    cents = now[["carton_cents", "cut_and_fill_cents", "postage_cents"]].sum(axis=1)
    assert int(cents.sum()) - len(SENT) * used == best["best_cents"].sum()
    assert len(now) == best["parcel_count"].sum() == len(SENT)


def test_another_clearance_is_priced_in_the_carton_that_it_needs() -> None:
    _, methods = both(**FILL)
    codes = methods.groupby("packing_method")["carton_code"].agg(set).to_dict()
    assert codes["thin"] == {"SNUG"} and "SNUG" not in codes["paper"] | codes["thick"]
    # SHORT is 45.5 in long and holds 43 in with 1.25 in on either side.
    assert codes["thick"] <= {"SHORT", "LONG"}
