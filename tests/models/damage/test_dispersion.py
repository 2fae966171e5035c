"""Claims that vary by more than chance count for less; those that do not count whole."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from models.damage.arrays import FloatArray, IntArray
from models.damage.dispersion import dispersion, expected_claims

TYPES, MONTHS = 8, 36
IS_AFTER = np.arange(MONTHS) >= 12
RNG = np.random.default_rng(7)
EXPOSURE = np.tile(np.linspace(300.0, 3_000.0, TYPES)[:, None], MONTHS)
MEANS = 0.02 * EXPOSURE * np.exp(0.3 * np.sin(np.arange(MONTHS) / 2.0))


ITEM, MONTH = (each.ravel() for each in np.indices((TYPES, MONTHS)))
SIDE: IntArray = 2 * ITEM + IS_AFTER[MONTH]


def effects(claims: FloatArray, *times: IntArray) -> FloatArray:
    """Of each item type, before the change and after it: shape (types, 2)."""
    return dispersion(claims.ravel(), EXPOSURE.ravel(), SIDE, *times).effects.reshape(TYPES, 2)


def test_expected_claims_are_those_of_a_poisson_model_with_item_types_sides_and_months() -> None:
    """statsmodels' GLM as the referee."""
    claims = RNG.poisson(MEANS).astype(float)
    # A month before and one after the change are left out: sides and months are not told apart otherwise.
    sides, months = (np.eye(each.max() + 1)[each] for each in (SIDE, MONTH))
    model = sm.GLM(
        claims.ravel(),
        np.hstack([sides, np.delete(months, [0, 12], axis=1)]),
        sm.families.Poisson(),
        exposure=EXPOSURE.ravel(),
    )
    fitted = expected_claims(claims.ravel(), EXPOSURE.ravel(), (SIDE, MONTH))
    assert fitted == pytest.approx(model.fit().fittedvalues, rel=1e-4)


def test_claims_by_chance_count_nearly_whole() -> None:
    found = [effects(RNG.poisson(MEANS).astype(float), MONTH) for _ in range(40)]
    assert min(each.min() for each in found) == 1.0
    assert np.median([each.max() for each in found]) < 1.05
    assert np.mean([each.mean() for each in found]) < 1.08
    assert np.max([each.max() for each in found]) < 2.5


def test_parcels_that_break_by_fours_count_a_quarter() -> None:
    found = [effects((4 * RNG.poisson(MEANS / 4.0)).astype(float), MONTH).mean() for _ in range(20)]
    assert 3.5 < np.mean(found) < 4.5


def test_months_that_vary_count_the_less_the_more_claims_they_have() -> None:
    drawn = [RNG.poisson(MEANS * RNG.gamma(25.0, 1.0 / 25.0, MEANS.shape)).astype(float) for _ in range(20)]
    after = np.mean([effects(claims, MONTH)[:, 1] for claims in drawn], axis=0)
    wanted = 1.0 + 0.04 * (MEANS**2)[:, IS_AFTER].sum(axis=1) / MEANS[:, IS_AFTER].sum(axis=1)
    assert after == pytest.approx(wanted, rel=0.4)


def test_a_season_that_all_share_counts_only_where_nothing_was_left_alone() -> None:
    assert effects(MEANS, MONTH).max() == 1.0
    assert effects(MEANS).max() > 1.5


def test_nothing_to_tell_from_changes_nothing() -> None:
    nothing, sides = np.zeros(6), np.repeat([0, 1], 3)
    assert dispersion(nothing, nothing, sides, np.tile([0, 1, 2], 2)).effects.tolist() == [1.0, 1.0]
    one = dispersion(np.full(2, 9.0), np.full(2, 99.0), np.array([0, 1]))
    assert (one.effects.tolist(), one.freedom, one.freedom_of_error) == ([1.0, 1.0], 0.0, np.inf)
    none: IntArray = np.zeros(0, dtype=np.int64)
    assert dispersion(np.zeros(0), np.zeros(0), none).effects.size == 0


def test_degrees_of_freedom_are_the_cells_less_what_was_fitted_and_fewer_where_groups_are_few() -> None:
    """16 sides and 35 of 36 months are fitted to 288 cells; of few groups that break together a square tells less."""
    many = 1_000.0 * MEANS
    few = np.asarray(4.0 * RNG.poisson(MEANS / 4.0), dtype=np.float64)
    varied = np.asarray(many * RNG.gamma(25.0, 1.0 / 25.0, MEANS.shape), dtype=np.float64)
    shown = dispersion(varied.ravel(), EXPOSURE.ravel(), SIDE, MONTH)
    assert shown.freedom == pytest.approx(288 - 16 - 35, rel=0.02)
    assert 0.5 * shown.freedom < dispersion(few.ravel(), EXPOSURE.ravel(), SIDE, MONTH).freedom < 0.97 * shown.freedom
