"""Learned prices and their error, by given bills."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest

from models.analyses.question import Question
from models.analyses.rate_curves import LANE, compute
from models.contracts import validated
from models.learned_prices.learning import learned
from models.tables import TABLES

DAYS = {"learned_first_on": pd.Timestamp("2025-01-01"), "learned_last_on": pd.Timestamp("2025-12-31")}


def asked(*rows: tuple[str, str | None, float | None, int | None, int]) -> pd.DataFrame:
    """Curves of rows (zone, tariff, billed weight, base price, bills)."""
    names = ["zone", "tariff_code", "billed_weight_lb", "base_cents", "bill_count"]
    bills = pd.DataFrame(rows, columns=names).assign(
        carrier="trial", service="plain", weight_per_lb=1.0, weight_step_milli=1_000, **DAYS
    )
    found = compute(Question({"rate_bills": bills}, dt.date(2026, 1, 1)))["analysis.rate_curves"]
    return validated(found, TABLES["analysis.rate_curves"], "this test").set_index("zone")


def test_a_row_stands_for_as_many_bills_as_it_counts() -> None:
    source = np.random.default_rng(3)
    weights = np.sort(source.integers(1, 20, 300)).astype(float)
    cents = (700 + 60 * weights).astype(int)
    counted = pd.DataFrame({"w": weights, "c": cents}).value_counts(sort=False).reset_index()
    found = asked(*(("2", "t", w, int(c), int(n)) for w, c, n in counted.itertuples(index=False)))
    bills = pd.DataFrame({"billed_weight": weights, "base_cents": cents}).assign(service="plain", zone="2")
    (lane,) = learned(bills)
    assert found.loc["2", "bill_count"] == 300
    assert found.loc["2", "left_out_unpriced_count"] == lane.outside_count
    assert lane.error_share is not None
    assert found.loc["2", "left_out_error_share"] == pytest.approx(lane.error_share)
    assert found.loc[["2"], ["seen_from_lb", "seen_to_lb"]].to_numpy().tolist() == [[weights[0], weights[-1]]]


def test_the_widest_interval_holds_nineteen_bills_of_twenty() -> None:
    # Bills spread evenly over a tenth to either side of 10.00: nineteen of twenty lie within 9.5 % of it.
    cents = np.random.default_rng(11).integers(900, 1_101, 1_000)
    found = asked(*(("2", "t", 3.0, int(each), 1) for each in cents))
    assert found.loc["2", "widest_interval_share"] == pytest.approx(0.095, abs=0.012)
    assert asked(("2", "t", 3.0, 900, 4))["widest_interval_share"].isna().all()


def test_used_and_unused_prices_are_told_apart() -> None:
    found = asked(("2", "t", 3.0, 900, 4), ("5", None, 3.0, 1_100, 4))
    assert found["is_in_use"].tolist() == [True, False]
    assert found["left_out_error_cents"].tolist() == [0, 0]


def test_prices_whose_bills_are_not_in_the_records_have_no_error() -> None:
    found = asked(("2", "t", None, None, 0)).loc["2"]
    assert found["bill_count"] == 0
    assert pd.isna(found["left_out_error_share"])
    assert pd.isna(found["seen_from_lb"])


def test_no_bills_give_no_rows() -> None:
    empty = pd.DataFrame(
        columns=[*LANE, "billed_weight_lb", "base_cents", "bill_count", "weight_per_lb", "weight_step_milli"]
    )
    assert compute(Question({"rate_bills": empty}, dt.date(2026, 1, 1)))["analysis.rate_curves"].empty
