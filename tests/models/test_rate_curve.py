"""Learned prices: isotonic, honest about their error, silent outside the weights seen."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.rate_curve import as_prices, fitted, learned


def bills(weights: list[float], cents: list[float], **lane: str) -> pd.DataFrame:
    named = {"carrier": "trial", "service": "plain", "zone": "2", "period": "2025"} | lane
    return pd.DataFrame({"billed_weight": weights, "base_cents": cents}).assign(**named)


@pytest.mark.published
def test_pool_adjacent_violators() -> None:
    # The input is the example of R's isoreg (R documentation, stats::isoreg, "Examples"): 1 0 4 3 3 5 4 2 0. Its least
    # squares fit pools to .5 .5 and seven times 3; the answer is that of an independent library, to all its digits.
    from sklearn.isotonic import IsotonicRegression

    given_values = np.array([1, 0, 4, 3, 3, 5, 4, 2, 0], dtype=np.float64)
    weights = np.arange(1.0, 10.0)
    seen, prices = fitted(weights, given_values)
    assert prices.tolist() == [0.5, 0.5, 3, 3, 3, 3, 3, 3, 3]
    assert prices == pytest.approx(IsotonicRegression().fit_transform(weights, given_values))
    assert seen.tolist() == weights.tolist()


def test_weights_seen_often_count_more() -> None:
    seen, prices = fitted(np.array([1.0, 1.0, 1.0, 2.0]), np.array([900.0, 900.0, 900.0, 500.0]))
    assert seen.tolist() == [1, 2]
    assert prices.tolist() == [800, 800]


def test_a_clean_price_list_is_found_again() -> None:
    weights = [float(1 + n % 40) for n in range(800)]
    cents = [700 + 55 * weight for weight in weights]
    (curve,) = learned(bills(weights, cents))
    assert curve.price_at([1, 17, 40]).tolist() == [755, 1635, 2900]
    assert curve.error_cents == pytest.approx(0, abs=1e-9)
    assert curve.parcel_count == 800
    prices = as_prices([curve])
    assert prices["up_to_weight"].tolist() == [float(n) for n in range(1, 41)]
    assert prices["price_cents"].tolist() == [700 + 55 * n for n in range(1, 41)]


def test_no_price_outside_the_weights_seen() -> None:
    (curve,) = learned(bills([3.0, 4.0, 6.0], [1000.0, 1100.0, 1300.0]))
    assert np.isnan(curve.price_at([2.9, 6.1])).all()
    assert curve.price_at([5.0]).tolist() == [1200]
    assert curve.outside_count == 2
    prices = as_prices([curve])
    assert prices["up_to_weight"].tolist() == [2, 3, 4, 5, 6]
    assert prices["price_cents"].tolist() == [pd.NA, 1000, 1100, 1200, 1300]


def test_the_error_is_that_of_parcels_left_out() -> None:
    source = np.random.default_rng(7)
    weights = source.integers(1, 31, 3_000).astype(float)
    cents = 800 + 60 * weights + source.normal(0, 50, 3_000)
    (curve,) = learned(bills(weights.tolist(), cents.tolist()))
    # The mean absolute error of a normal deviation of 50 is 50 x sqrt(2 / pi) = 39.9.
    assert curve.error_cents == pytest.approx(39.9, abs=2.5)
    assert curve.error_share is not None
    assert 0.015 < curve.error_share < 0.04


def test_lanes_are_learned_apart_and_too_few_parcels_say_so() -> None:
    both = pd.concat([bills([1.0], [700.0]), bills([1.0, 2.0, 3.0], [900.0, 950.0, 990.0], zone="8")])
    near, far = learned(both)
    assert (near.zone, near.error_cents, near.outside_count) == ("2", None, 1)
    assert (far.zone, far.parcel_count) == ("8", 3)


def test_bills_without_weight_or_charge_are_left_out() -> None:
    (curve,) = learned(bills([0.0, float("nan"), 5.0], [100.0, 100.0, 900.0]))
    assert curve.parcel_count == 1


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.lists(st.tuples(st.integers(1, 60), st.integers(100, 9_000)), min_size=1, max_size=60))
def test_a_learned_price_never_falls_and_keeps_the_sum(rows: list[tuple[int, int]]) -> None:
    weights = np.array([float(weight) for weight, _ in rows])
    cents = np.array([float(price) for _, price in rows])
    seen, prices = fitted(weights, cents)
    assert (np.diff(prices) >= -1e-9).all()
    assert np.interp(weights, seen, prices).sum() == pytest.approx(cents.sum())
