"""Limits over many looks, against published tables and a simulation."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from models.damage.arrays import FloatArray
from models.damage.sequential import bounds, spent


def shares(looks: int) -> FloatArray:
    return np.arange(1, looks + 1) / looks


@pytest.mark.published
@pytest.mark.parametrize(
    ("error", "wanted"),
    [
        (
            2.0 - 2.0 * norm.cdf(norm.ppf(1.0 - 0.05 / 4.0) / np.sqrt(shares(5))),
            (4.8769, 3.3569, 2.6803, 2.2898, 2.0310),
        ),
        (spent(shares(5), 0.025), (2.4380, 2.4268, 2.4101, 2.3966, 2.3859)),
    ],
    ids=["O'Brien and Fleming's type", "Pocock's type"],
)
@pytest.mark.from_memory
def test_limits_of_five_looks(error: FloatArray, wanted: tuple[float, ...]) -> None:
    """D. M. Reboussin, D. L. DeMets, K. Kim, K. K. G. Lan, "Computations for group sequential boundaries using the
    Lan-DeMets spending function method", Controlled Clinical Trials 21 (2000), 190-207: five equal looks, 5 percent on
    both sides together. The formulas are those of the article; its printed limits are from memory."""
    low, high = bounds(shares(5), error, error)
    assert high == pytest.approx(wanted, abs=2e-4)
    assert low == pytest.approx([-each for each in wanted], abs=2e-4)


@pytest.mark.published
@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("shape", "looks", "constant"),
    [
        *((0.0, looks, constant) for looks, constant in ((2, 2.178), (5, 2.413), (10, 2.555))),
        *((0.5, looks, constant) for looks, constant in ((2, 1.977), (5, 2.040), (10, 2.087))),
    ],
)
def test_constants_of_pocock_and_of_obrien_and_fleming(shape: float, looks: int, constant: float) -> None:
    """C. Jennison, B. W. Turnbull, "Group Sequential Methods with Applications to Clinical Trials" (2000), tables 2.1
    and 2.3: limits of equal looks that spend 5 percent on both sides together. Constants from memory."""
    wanted = constant * (looks / np.arange(1.0, looks + 1.0)) ** shape
    error = spent_by(wanted)
    assert 2.0 * error[-1] == pytest.approx(0.05, abs=2e-4)


def spent_by(limits: FloatArray) -> FloatArray:
    """Error on one side that symmetric limits of equal looks spend by each: found by asking for it look by look."""
    looks = limits.size
    error = np.zeros(looks)
    for at in range(looks):
        floor, least, most = (error[at - 1] if at else 0.0), 0.0, 0.05
        for _ in range(16):
            middle = (least + most) / 2.0
            error[at:] = floor + middle
            _, high = bounds(shares(looks)[: at + 1], error[: at + 1], error[: at + 1])
            least, most = (middle, most) if high[-1] > limits[at] else (least, middle)
    return error


def test_looks_that_come_as_they_come_spend_what_is_allowed() -> None:
    """Uneven looks, one of which adds hardly anything, and more error above than below: 200,000 sums by chance."""
    information = np.array([0.1, 0.13, 0.4, 0.401, 0.9, 1.0])
    below, above = np.array([0, 0, 0.004, 0.006, 0.01, 0.02]), np.array([0.002, 0.01, 0.02, 0.03, 0.03, 0.04])
    low, high = bounds(information, below, above)
    assert np.isinf(low[:2]).all() and np.isinf([low[3], high[3]]).all()
    steps = np.random.default_rng(1).normal(size=(200_000, 6)) * np.sqrt(np.diff(information, prepend=0.0))
    figures = steps.cumsum(axis=1) / np.sqrt(information)
    is_low, is_high = figures < low, figures > high
    first_low, first_high = (np.where(each.any(axis=1), each.argmax(axis=1), 9) for each in (is_low, is_high))
    assert np.mean(first_low < first_high) == pytest.approx(0.02, abs=0.0015)
    assert np.mean(first_high < first_low) == pytest.approx(0.04, abs=0.002)
    by_the_third = (first_high < first_low) & (first_high <= 2)
    assert np.mean(by_the_third) == pytest.approx(0.02, abs=0.0015)


def test_one_look_has_the_usual_limits() -> None:
    low, high = bounds(np.array([7.3]), np.array([0.025]), np.array([0.025]))
    assert (low[0], high[0]) == (pytest.approx(-1.959964, abs=1e-5), pytest.approx(1.959964, abs=1e-5))
