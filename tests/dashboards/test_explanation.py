"""A bill in words, by given rows."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd
import pytest

from dashboards.explanation import dispute, explanation, margin_words
from models.shop_units import Units

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


def reported(near: pd.DataFrame = NONE, disputes: pd.DataFrame = NONE, **changed: Any) -> list[str]:
    return explanation({**PARCEL, **changed}, LINES, near, disputes, Units("USD")).splitlines()


def test_sides_rounding_weights_and_each_charge_are_reported() -> None:
    assert reported() == [
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
    lines = reported(pd.DataFrame([NEAR]), pd.DataFrame([DISPUTE]))
    assert lines[-5:] == [
        "Near miss: 0.75 in less on the longest side would have avoided long side, $19.11 in all. "
        "Cutting the carton does it, or carton C-46.",
        "Billing error: wrong zone on base, $1.89. Dispute by 13 Nov 2026; open.",
        "  id: NL1/wrong-zone",
        "  shop: zone 3",
        "  carrier: billed as zone 5",
    ]


@pytest.mark.parametrize(
    ("can_cut", "other", "words"),
    [
        (True, None, "$19.11 in all. Cutting the carton does it."),
        (False, "C-46", "$19.11 in all. Carton C-46 would do."),
        (False, None, "$19.11 in all."),
        (None, None, "$19.11 in all."),
    ],
)
def test_each_way_to_spare_a_charge_is_a_sentence_of_its_own(can_cut: Any, other: Any, words: str) -> None:
    row = {**NEAR, "can_cut": can_cut, "other_carton_code": other}
    assert reported(pd.DataFrame([row]))[-1].endswith(words)


def test_charges_that_one_change_spares_stand_in_one_sentence() -> None:
    season, weight = {**NEAR, "charge_name": "season handling"}, {**NEAR, "spared_cents": 30}
    lines = reported(pd.DataFrame([NEAR, season, {**weight, "charge_name": "rated weight"}]))
    assert [line for line in lines if line.startswith("Near miss")] == lines[-2:]
    assert "would have avoided long side and season handling, $19.11 in all." in lines[-2]
    assert "would have avoided a higher weight step, $0.30 in all." in lines[-1]


MARGIN: dict[str, Any] = {
    "parcel_id": "NL1",
    "shipping_charged_cents": 2290,
    "shipping_refunded_cents": 0,
    "allowance_cents": 0,
    "fee_on_shipping_cents": 0,
    "billed_cents": 3345,
    "tax_reclaimed_cents": 0,
    "carton_cents": 299,
    "material_cents": 95,
    "labour_cents": 320,
    "damage_net_cents": 0,
    "return_carriage_cents": 0,
    "depreciation_cents": 0,
    "margin_cents": -1769,
    "has_charges": True,
    "has_bench_log": True,
    "is_sale_known": True,
}


def test_the_margin_is_reported_with_all_that_made_it_up() -> None:
    assert margin_words(MARGIN, Units("USD")) == (
        "NL1 lost $17.69: $22.90 charged - $33.45 carriage - $2.99 carton - $0.95 material - $3.20 labour."
    )
    # A carrier that paid more than was lost, and one that gave all carriage back.
    better = {**MARGIN, "damage_net_cents": -500, "billed_cents": -100, "allowance_cents": 400, "margin_cents": 2576}
    assert margin_words(better, Units("USD")) == (
        "NL1 made $25.76: $22.90 charged + $4.00 kept in item price + $1.00 carriage - $2.99 carton - $0.95 material "
        "- $3.20 labour + $5.00 loss by claims."
    )


def test_what_counts_as_nothing_for_want_of_records_is_named() -> None:
    nothing = dict.fromkeys((name for name in MARGIN if name.endswith("_cents")), 0)
    bare = {**MARGIN, **nothing, "has_charges": False, "is_sale_known": False}
    assert margin_words(bare, Units("USD")).splitlines() == [
        "NL1 made $0.00.",
        "The carrier's charges are not on record yet and count as nothing.",
        "Its sale is not on record: what the buyer paid for shipping counts as nothing.",
    ]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"sides_source": "learned"}, "usually bills for the carton"),
        ({"scale_weight_lb": 40.0, "rated_weight": 40.0, "rated_weight_lb": 40.0}, "the scale decides"),
        ({"billed_weight": 90.0}, "billed as 90 lb for a surcharge's least weight"),
        ({"billed_cents": None}, "billed nothing yet"),
        ({"expected_cents": None, "lacking": "weight unknown"}, "It cannot be rated: weight unknown."),
        ({"length_in": None, "longest_side": None}, "Sides: not known"),
    ],
)
def test_what_is_not_known_is_said(changed: dict[str, Any], words: str) -> None:
    assert words in "\n".join(reported(**changed))


def test_money_already_taken_back_is_named() -> None:
    assert "$1.89 of it taken back" in dispute({**DISPUTE, "credited_cents": 189}, Units("USD"))


def test_a_dispute_says_its_charge_once_and_its_state_without_a_last_day() -> None:
    row = {**DISPUTE, "difference_class": "adjustment without cause", "charge_name": "adjustment"}
    assert dispute({**row, "last_dispute_on": None}, Units("USD")).startswith(
        "Billing error: adjustment without cause, $1.89. State: open.\n"
    )
