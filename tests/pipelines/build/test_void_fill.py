"""Tare and void fill in the price of other cartons: small shops against the literal rating."""

from __future__ import annotations

from functools import cache
from typing import Any

import pandas as pd
import pytest

from models.settings.cartons import Cartons
from sample_data.literal_rating import Parcel, rate, tariff_on
from tests.pipelines.build.planted_cartons import TARIFFS
from tests.pipelines.build.test_carton_plans import DAY
from tests.pipelines.build.test_cartons import LONG, SHORT, parcel, tables

# Heavier than its dimensional weight.
HEAVY = parcel(scale_weight_lb=40)
# Outside of SHORT, longest side first.
CLOSED = (45.5 + 4 * 0.16, 8.5 + 2 * 0.16, 8.5 + 2 * 0.16)


def carriage(pounds: float) -> int:
    tariff = tariff_on(TARIFFS, "Northline", DAY)
    assert tariff is not None
    return rate(Parcel("ground", "5", DAY, CLOSED, pounds, is_residential=True), tariff).total_cents


def saving(*weights: dict[str, Any], short: float | None = None, long: float | None = None, **stated: Any) -> int:
    """What SHORT saves, of tares as stated."""
    stock = [{**SHORT, "tare_lb": short}, {**LONG, "tare_lb": long, "is_cuttable": False}]
    found = tables(weights or [HEAVY], stock, settings=Cartons(**stated))
    best = found["analysis.best_cartons"]
    assert set(best["best_carton_code"]) == {"SHORT"}
    return int(best["saving_cents"].sum())


@cache
def unstated() -> int:
    """What SHORT saves where nothing states a tare."""
    return saving()


def test_the_other_cartons_tare_decides_what_the_parcel_weighs() -> None:
    lighter = saving(short=1.0, long=5.0) - unstated()
    assert lighter == carriage(40) - carriage(36) > 0
    assert saving(short=5.5, long=1.0) - unstated() == carriage(40) - carriage(44.5) < 0


@pytest.mark.parametrize(("short", "long"), [(1.0, None), (None, 5.0)])
def test_a_tare_that_only_one_carton_states_changes_nothing(short: float | None, long: float | None) -> None:
    assert saving(short=short, long=long) == unstated()


def test_parcels_of_one_class_are_told_apart_by_what_they_weigh() -> None:
    """40.1 and 40.9 lb cost the same as sent; half a pound less brings only the lighter one to 40."""
    sent = [parcel(1, scale_weight_lb=40.1), parcel(2, scale_weight_lb=40.9)]
    assert saving(*sent, short=1.0, long=1.5) - saving(*sent) == carriage(41) - carriage(40) > 0


def test_void_fill_counts_by_what_the_other_carton_takes_less() -> None:
    # 7.5 x 7.5 x (47.5 - 44.5) in more in LONG, at a cent for two cubic inches; both are rounded.
    assert saving(void_fill_cents_per_ft3=864) - unstated() == pytest.approx(7.5 * 7.5 * 3 / 2, abs=1)


def test_its_weight_counts_too() -> None:
    """Four pounds less in SHORT, by weight alone."""
    per_ft3 = 4 / (7.5 * 7.5 * 3) * 1728
    assert saving(void_fill_lb_per_ft3=per_ft3) - unstated() == carriage(40) - carriage(36)


def test_the_month_says_what_is_counted() -> None:
    def coverage(tare: float | None, **stated: Any) -> dict[str, Any]:
        found = tables([parcel()], [SHORT, {**LONG, "tare_lb": tare}], settings=Cartons(**stated))
        (row,) = found["analysis.carton_coverage"].to_dict("records")
        return {str(name): cell for name, cell in row.items()}

    plain, shown = coverage(None), coverage(2.0, void_fill_cents_per_ft3=864)
    assert plain["tare_parcel_count"] == 0 and pd.isna(plain["void_fill_cents"])
    # 7.5 x 7.5 x 47.5 in less the tripod's 44 x 7 x 7.
    assert (shown["tare_parcel_count"], shown["void_fill_cents"]) == (1, round((7.5 * 7.5 * 47.5 - 44 * 7 * 7) / 2))


def test_the_ladder_still_begins_with_what_was_spent() -> None:
    plain, shown = (
        tables([parcel()], settings=stated)["analysis.carton_ladder"].set_index("ladder_step")["ladder_cents"]
        for stated in (Cartons(), Cartons(void_fill_cents_per_ft3=500))
    )
    assert plain["spent"] == shown["spent"] and shown["cut down"] < plain["cut down"]
