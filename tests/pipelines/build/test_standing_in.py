"""The carton that stands in for one that has run out, of small shops: given rows and expected rows."""

from __future__ import annotations

import pandas as pd

from tests.pipelines.build.test_cartons import LONG, SHORT, parcel, tables


def test_the_next_best_carton_stands_in_for_one_that_has_run_out() -> None:
    """LONG is gone after two parcels. SHORT takes the tripod and is cheaper; without SHORT nothing holds it."""
    gone = {**LONG, "on_hand": 2, "counted_on": "2026-10-01"}
    sent = [parcel(1), parcel(2)]
    (row,) = tables(sent, [SHORT, gone])["analysis.carton_substitutes"].to_dict("records")
    assert (row["carton_code"], row["substitute_code"], row["parcel_count"]) == ("LONG", "SHORT", 2)
    best = tables(sent, [SHORT, gone])["analysis.best_cartons"]
    assert row["extra_cents"] == -best["saving_cents"].sum() < 0
    (none,) = tables(sent, [gone])["analysis.carton_substitutes"].to_dict("records")
    assert pd.isna(none["substitute_code"]) and none["contents"] == "1 tripod"


def test_nothing_stands_in_for_a_carton_that_is_there_or_was_not_used() -> None:
    there = {**LONG, "on_hand": 3, "counted_on": "2026-10-01"}
    unused = {**SHORT, "on_hand": 0, "counted_on": "2026-10-01"}
    assert tables([parcel(1), parcel(2)], [unused, there])["analysis.carton_substitutes"].empty


def test_what_stands_in_for_a_carton_whose_order_lasts_for_years() -> None:
    """LONG is there, but its supplier sells five hundred at once: SHORT takes the tripods for less."""
    there = {**LONG, "on_hand": 40, "counted_on": "2026-10-01", "minimum_order": 500}
    sent = [parcel(number, shipped_on=f"2026-{9 + number // 28:02}-{1 + number % 28:02}") for number in range(40)]
    (row,) = tables(sent, [SHORT, there])["analysis.carton_substitutes"].to_dict("records")
    assert (row["carton_code"], row["substitute_code"]) == ("LONG", "SHORT") and row["parcel_count"] > 30
    small = {**there, "minimum_order": 1}
    assert tables(sent, [SHORT, small])["analysis.carton_substitutes"].empty
