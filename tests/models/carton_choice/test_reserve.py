"""Reorder levels against scipy's distributions and against drawn weeks."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from models.carton_choice.reserve import reorder_level

MEANS = (0.05, 0.7, 3.0, 14.2, 80.0, 1_500.0)
LEVELS = (0.5, 0.9, 0.95, 0.99, 0.9999)


@pytest.mark.published
@pytest.mark.parametrize("mean", MEANS)
def test_a_steady_use_is_a_poisson_count(mean: float) -> None:
    """Referee: scipy.stats.poisson.ppf, the smallest count whose distribution function reaches the level."""
    found = [reorder_level(mean, 1.0, level) for level in LEVELS]
    assert found == [int(stats.poisson.ppf(level, mean)) for level in LEVELS]


@pytest.mark.published
@pytest.mark.parametrize("dispersion", [1.2, 2.0, 6.0])
@pytest.mark.parametrize("mean", MEANS)
def test_a_use_that_varies_more_is_a_negative_binomial_count(mean: float, dispersion: float) -> None:
    """Referee: scipy.stats.nbinom with the mean m and the variance d m, so n = m / (d - 1) and p = 1 / d."""
    found = [reorder_level(mean, dispersion, level) for level in LEVELS]
    assert found == [int(stats.nbinom.ppf(level, mean / (dispersion - 1), 1 / dispersion)) for level in LEVELS]


def test_nothing_used_needs_no_stock() -> None:
    assert reorder_level(0.0, 1.0, 0.95) == 0 and reorder_level(0.0, 3.0, 0.95) == 0


def test_stock_of_that_level_lasts_as_often_as_was_asked_for() -> None:
    """Twelve days of a drawn use of 2.5 a day: the level holds in at least, and hardly more than, 95 of 100 waits."""
    drawn = np.random.default_rng(7).poisson(2.5, (40_000, 12)).sum(axis=1)
    level = reorder_level(30.0, 1.0, 0.95)
    assert (drawn <= level).mean() > 0.945 and (drawn <= level - 1).mean() < 0.955
