"""Learned prices: not falling, pooled, honest about their error, silent outside the weights seen."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.learned_prices.billed_weights import divisor, weight_step
from models.learned_prices.cells import banded
from models.learned_prices.learning import gathered, learned, price_rows, priced
from tests.models.generated_bills import carrier
from tests.models.learned_trials import boosted, middles, trial
from tests.sampling import tries


def bills(weights: list[float], cents: list[float], zone: str = "2") -> pd.DataFrame:
    return pd.DataFrame({"billed_weight": weights, "base_cents": cents}).assign(service="plain", zone=zone)


def bent(weight: float) -> float:
    """A price that rises ever less."""
    return 600 + 400 * math.sqrt(weight)


def test_a_clean_price_list_is_found_again() -> None:
    weights = [float(1 + n % 40) for n in range(800)]
    cents = [700 + 55 * weight for weight in weights]
    (lane,) = learned(bills(weights, cents))
    assert (lane.error_cents, lane.bill_count, lane.outside_count) == (0, 800, 0)
    prices = price_rows([lane])
    assert prices["up_to_weight"].tolist() == [float(n) for n in range(1, 41)]
    assert prices["price_cents"].tolist() == [700 + 55 * n for n in range(1, 41)]
    assert set(prices["interval_cents"]) == {0}


def test_wrong_bills_do_not_move_a_price() -> None:
    weights = [float(1 + n % 20) for n in range(400)]
    cents = [700 + 55 * weight for weight in weights]
    disturbed = [2 * amount if n % 17 == 0 else amount for n, amount in enumerate(cents)]
    assert price_rows(learned(bills(weights, disturbed)))["price_cents"].tolist() == [
        700 + 55 * n for n in range(1, 21)
    ]


def test_no_price_outside_the_weights_seen() -> None:
    prices = price_rows(learned(bills([3.0, 4.0, 6.0] * 3, [1000.0, 1100.0, 1300.0] * 3)))
    assert prices["up_to_weight"].tolist() == [2, 3, 4, 5, 6]
    found = prices["price_cents"].tolist()
    assert found[:3] + found[4:] == [pd.NA, 1000, 1100, 1300]
    assert 1100 <= found[3] <= 1300
    left, right = bills([3.0, 4.0, 6.0], [1000.0, 1100.0, 1300.0]), bills([2.0, 5.0, 7.0], [0.0, 0.0, 0.0])
    asked = right.assign(band=right["billed_weight"].astype(int))
    assert np.isnan(priced(banded(left, 1.0), asked)[0]).tolist() == [True, False, True]


def test_a_zone_with_few_bills_takes_its_shape_from_the_others() -> None:
    weights = [float(1 + n % 30) for n in range(600)]
    near = [bills(weights, [bent(w) * (1 + 0.1 * z) for w in weights], str(z)) for z in range(4)]
    far = bills([2.0, 30.0, 30.0], [bent(2) * 1.4, bent(30) * 1.4, bent(30) * 1.4], "9")
    rows = price_rows(learned(pd.concat([*near, far]))).set_index(["zone", "up_to_weight"])["price_cents"]
    # Halfway between its two weights the straight line would be a tenth too low.
    assert (bent(2) + bent(30)) / 2 < 0.91 * bent(16)
    assert rows["9", 16.0] == pytest.approx(bent(16) * 1.4, rel=0.04)


def test_the_error_is_that_of_bills_left_out() -> None:
    source = np.random.default_rng(7)
    weights = source.integers(1, 31, 3_000).astype(float)
    cents = 800 + 60 * weights + source.normal(0, 50, 3_000)
    (lane,) = learned(bills(weights.tolist(), cents.tolist()))
    # The mean absolute error of a normal deviation of 50 is 50 x sqrt(2 / pi) = 39.9.
    assert lane.error_cents == pytest.approx(39.9, abs=2.5)


def test_the_error_is_that_of_the_steps_as_written() -> None:
    # By steps of 10 one price stands for weights that were billed otherwise: 100 and 200 cents, half each.
    (lane,) = learned(bills([11.0, 19.0] * 50, [100.0, 200.0] * 50), step=10.0)
    (price,) = price_rows([lane]).dropna()["price_cents"]
    assert lane.error_cents == pytest.approx((abs(price - 100) + abs(price - 200)) / 2, rel=0.35)
    assert lane.error_cents is not None and lane.error_cents > 30


def test_too_few_bills_have_no_interval() -> None:
    (lane,) = learned(bills([1.0, 2.0, 3.0], [900.0, 950.0, 990.0]))
    assert price_rows([lane])["interval_cents"].isna().all()
    assert price_rows([lane])["miss_cents"].isna().all()
    assert learned(bills([0.0, float("nan")], [100.0, 100.0])) == []


@pytest.mark.published
def test_an_interval_is_a_rank_among_the_misses() -> None:
    # Vovk, Gammerman, Shafer, Algorithmic Learning in a Random World (2005), inductive conformal prediction: of n
    # misses the one of rank ceil(0.95 (n + 1)). Of 1 to 39 percent that is the 38th.
    shares = np.arange(1, 40) / 100
    found = gathered(np.full(39, 1_000.0), 1_000 * (1 + shares), np.full(39, 6.0))
    assert found.interval_at(np.array([1_000.0]), np.array([9.0])) == [380]
    assert found.miss_at(np.array([1_000.0]), np.array([9.0])) == [3 * 380 + 1]


@settings(derandomize=True, deadline=None, max_examples=tries(25))
@given(st.lists(st.tuples(st.sampled_from("23"), st.integers(1, 60), st.integers(100, 9_000)), min_size=1, max_size=60))
def test_a_learned_price_never_falls(rows: list[tuple[str, int, int]]) -> None:
    stated = pd.concat([bills([float(weight)], [float(cents)], zone) for zone, weight, cents in rows])
    found = price_rows(learned(stated)).dropna(subset=["price_cents"])
    for zone, part in found.groupby("zone"):
        assert part["price_cents"].is_monotonic_increasing
        seen = stated.loc[stated["zone"] == zone, "billed_weight"]
        assert part["up_to_weight"].tolist() == list(np.arange(seen.min(), seen.max() + 1))


def test_a_generated_carrier_is_learned_better_than_by_medians_and_by_boosting() -> None:
    found = trial(carrier(4, 900).bills, folds=3)
    assert found.error < found.errors[middles]
    assert found.error <= 1.05 * found.errors[boosted]
    assert 0.91 < found.covered < 0.99
    assert found.disputed_right <= 1


def test_step_and_divisor_are_those_of_the_carrier() -> None:
    source = np.random.default_rng(3)
    volume, scale = source.uniform(2_000, 90_000, 400), source.uniform(0.3, 20, 400)
    billed = np.ceil(np.maximum(scale, volume / 5_000) / 0.5) * 0.5
    rows = pd.DataFrame({"billed_weight": billed, "scale_weight": scale, "volume": volume})
    assert weight_step(billed) == 0.5
    found = divisor(rows, 0.5)
    assert found is not None
    assert found.divisor == 5_000
    assert found.share >= 0.99
    mixed = rows.assign(billed_weight=np.where(source.random(400) < 0.5, np.ceil(scale), np.ceil(volume / 3_000)))
    assert divisor(mixed, 0.5) is None
    assert divisor(rows.assign(billed_weight=np.ceil(scale)), 1.0) is None
    assert weight_step(source.uniform(0, 20, 400)) is None
