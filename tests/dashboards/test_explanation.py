"""A bill in words, by given rows."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd
import pytest

from dashboards.explanation import dispute, explanation

PARCEL: dict[str, Any] = {
    "length_in": 48.75,
    "width_in": 8.875,
    "height_in": 8.875,
    "scale_weight_lb": 15.3,
    "sides_source": "measured",
    "tariff_code": "northline-2026",
    "length_unit": "in",
    "weight_unit": "lb",
    "longest_side": 49.0,
    "second_side": 9.0,
    "shortest_side": 9.0,
    "dim_weight": 28.554,
    "rated_weight": 29.0,
    "rated_weight_lb": 29.0,
    "billed_weight": 29.0,
    "expected_cents": 2601,
    "billed_cents": 2601,
    "lacking": None,
    "learned_first_on": None,
    "learned_last_on": None,
    "bill_count": None,
    "left_out_error_cents": None,
}
LINES = pd.DataFrame(
    [
        ("base", 986, 986, "billed_weight", 29.0, None),
        ("long side", 1615, 1615, "longest_side", 49.0, 48.0),
        ("remote area", None, 990, None, None, None),
    ],
    columns=["charge_name", "expected_cents", "billed_cents", "measure", "measured", "threshold"],
)
NEAR = {
    "near_miss": "paid",
    "charge_name": "long side",
    "change": "longest side",
    "change_in": 0.75,
    "change_lb": None,
    "spared_cents": 1911,
    "can_cut": True,
    "other_carton_code": "C-46",
}
DISPUTE = {
    "difference_class": "wrong zone",
    "charge_name": "base",
    "over_cents": 189,
    "credited_cents": 0,
    "last_dispute_on": dt.date(2026, 11, 13),
    "dispute_state": "open",
    "dispute_id": "NL1/wrong-zone",
    "own_evidence": "zone 3",
    "billed_evidence": "billed as zone 5",
}
NONE = pd.DataFrame()


def told(near: pd.DataFrame = NONE, disputes: pd.DataFrame = NONE, **changed: Any) -> list[str]:
    return explanation({**PARCEL, **changed}, LINES, near, disputes, "USD").splitlines()


def test_sides_rounding_weights_and_each_charge_are_told() -> None:
    assert told() == [
        "Sides: 48.75 x 8.88 x 8.88 in, measured at the bench.",
        "By northline-2026 that counts as 49 x 9 x 9 in.",
        "Weight: 15.3 lb on the scale.",
        "Dimensional weight: 28.55 lb; the volume decides. Rated weight: 29 lb.",
        "Charges:",
        "  base: $9.86, as billed (for 29 lb)",
        "  long side: $16.15, as billed (the longest side is 49 in, the limit 48)",
        "  remote area: not expected, billed $9.90",
        "  in all: expected $26.01, billed $26.01",
    ]


def test_near_misses_and_disputes_stand_below() -> None:
    lines = told(pd.DataFrame([NEAR]), pd.DataFrame([DISPUTE]))
    assert lines[-3] == (
        "Near miss: 0.75 in less on the longest side spares long side, $19.11 in all; cutting the carton does it; "
        "carton C-46 would do."
    )
    assert lines[-2].startswith("Billed wrongly: wrong zone on base, $1.89, to dispute by 13 Nov 2026, open. NL1/")
    assert lines[-1] == "    shop: zone 3; carrier: billed as zone 5"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"sides_source": "learned"}, "usually bills for the carton"),
        ({"scale_weight_lb": 40.0, "rated_weight": 40.0, "rated_weight_lb": 40.0}, "the scale decides"),
        ({"billed_weight": 90.0}, "billed as 90 lb for a surcharge's least weight"),
        ({"billed_cents": None}, "billed nothing yet"),
        ({"expected_cents": None, "lacking": "weight unknown"}, "It cannot be rated: weight unknown."),
        ({"length_in": None, "longest_side": None}, "Sides: unknown"),
    ],
)
def test_what_is_not_known_is_said(changed: dict[str, Any], words: str) -> None:
    assert words in "\n".join(told(**changed))


def test_money_already_taken_back_is_named() -> None:
    assert "$1.89 of it taken back" in dispute({**DISPUTE, "credited_cents": 189}, "USD")
