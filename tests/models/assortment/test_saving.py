"""The saving on months that had no say in the choice."""

from __future__ import annotations

from dataclasses import replace
from math import isnan, sqrt

import numpy as np
import pytest
from scipy.stats import bootstrap

from models.assortment import AssortmentProblem, bootstrap_saving, serve
from models.assortment.solve import choose_assortment
from tests.models.assortment.instances import shop

X = np.inf


def test_rows_take_the_cheapest_size_that_fits() -> None:
    assignment, cents = serve(np.array([[5.0, 3.0, 1.0], [2.0, X, 1.0], [X, X, 1.0]]), (0, 1))
    assert assignment.tolist() == [1, 0, -1]
    assert cents[:2].tolist() == [3.0, 2.0]
    assert isnan(cents[2])
    none, nothing = serve(np.ones((2, 3)), ())
    assert none.tolist() == [-1, -1]
    assert np.isnan(nothing).all()


def test_saving_per_parcel_by_hand() -> None:
    saving = bootstrap_saving(["w1", "w1", "w2"], [10.0, -5.0, 40.0], [3, 2, 5])
    assert (saving.saved_cents, saving.parcels, saving.weeks) == (220.0, 10.0, 2)
    assert saving.cents_per_parcel == 22.0
    assert saving.low <= 22.0 <= saving.high
    assert (saving.low, saving.high) == (4.0, 40.0)  # the same week twice: 20 / 5 and 200 / 5


def test_an_even_saving_has_no_spread_however_uneven_the_weeks() -> None:
    saving = bootstrap_saving(np.arange(9), np.full(9, 10.0), np.arange(1, 10) ** 2)
    assert (saving.low, saving.cents_per_parcel, saving.high) == (10.0, 10.0, 10.0)


def test_one_week_has_no_interval_and_no_parcels_are_refused() -> None:
    single = bootstrap_saving([7, 7], [10.0, 20.0], [1, 1])
    assert single.cents_per_parcel == 15.0
    assert isnan(single.low)
    assert isnan(single.high)
    for cents, parcels in (([], []), ([1.0], [0]), ([np.nan], [1])):
        with pytest.raises(ValueError, match="needs parcels"):
            bootstrap_saving(list(range(len(cents))), cents, parcels)


def test_the_same_seed_gives_the_same_interval() -> None:
    rng = np.random.default_rng(5)
    rows = (np.repeat(np.arange(12), 4), rng.normal(20, 50, 48), rng.integers(1, 9, 48))
    assert bootstrap_saving(*rows, seed=3) == bootstrap_saving(*rows, seed=3)
    assert bootstrap_saving(*rows, seed=3) != bootstrap_saving(*rows, seed=4)


@pytest.mark.from_memory
def test_ratio_of_the_patch_study() -> None:
    """Efron and Tibshirani, An Introduction to the Bootstrap (1993), section 10.3: ratio -.0713, standard error .105.

    Recalled: the eight subjects stand for weeks, y for cents saved, z for parcels. The standard error is held to 10 %
    through the width of a 68.27 % interval, which is two standard errors for a near-normal estimate.
    """
    z = np.array([8406.0, 2342, 8187, 8459, 4795, 3516, 4796, 10238])
    y = np.array([-1200.0, 2601, -2705, 1982, -1290, 351, -638, -2719])
    saving = bootstrap_saving(np.arange(8), y / z, z, level=0.6827, draws=20_000)
    assert saving.cents_per_parcel == pytest.approx(-0.0713, abs=0.00005)
    assert (saving.high - saving.low) / 2 == pytest.approx(0.105, rel=0.1)


def test_the_interval_covers_the_truth_about_as_often_as_it_says() -> None:
    """400 made-up seasons of 26 weeks; a percentile interval is a little narrow, so 0.90 to 0.98 for 0.95."""
    rng = np.random.default_rng(8)
    covered = 0
    for _ in range(400):
        sent = rng.integers(5, 40, 26).astype(float)
        cents = 30.0 + rng.normal(0, 25, 26)
        saving = bootstrap_saving(np.arange(26), cents, sent, draws=600)
        covered += saving.low <= 30.0 <= saving.high
    assert 0.90 <= covered / 400 <= 0.98


def test_parcels_of_one_week_are_not_taken_for_independent() -> None:
    """Every parcel of a week saves the same: 26 weeks of 50 parcels know no more than 26 figures do."""
    rng = np.random.default_rng(9)
    weekly = rng.normal(30, 25, 26)
    saving = bootstrap_saving(np.repeat(np.arange(26), 50), np.repeat(weekly, 50), np.ones(26 * 50))
    half = (saving.high - saving.low) / 2
    assert half == pytest.approx(1.96 * weekly.std() / sqrt(26), rel=0.1)


def test_a_saving_on_its_own_months_flatters() -> None:
    """Sizes chosen on half of the classes save no more on the other half than sizes chosen on that half."""
    problem = shop(21, 60, 400, 300, 4)
    past, later = problem.costs_cents[::2], problem.costs_cents[1::2]
    chosen = choose_assortment(replace(problem, costs_cents=past, fixed_cents=np.zeros(300)))
    best = choose_assortment(AssortmentProblem(later, np.zeros(300), 4))
    _, cents = serve(later, chosen.sizes)
    assert np.isfinite(cents).all()
    assert cents.sum() > best.total_cents


def test_the_interval_is_that_of_a_reference_library() -> None:
    """SciPy's percentile bootstrap of the same ratio, over weeks."""
    source = np.random.default_rng(4)
    sent = source.integers(1, 60, 26).astype(float)
    saved = sent * source.normal(120, 300, 26)
    answer = bootstrap(
        (saved, sent),
        lambda cents, count, axis=-1: cents.sum(axis=axis) / count.sum(axis=axis),
        **{"paired": True, "n_resamples": 20_000, "method": "percentile", "rng": np.random.default_rng(2)},
    ).confidence_interval
    found = bootstrap_saving(np.arange(26), saved / sent, sent, draws=20_000)
    reach = 0.03 * (answer.high - answer.low)
    assert (found.low, found.high) == pytest.approx((answer.low, answer.high), abs=reach)
