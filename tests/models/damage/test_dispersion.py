"""Claims that vary by more than chance count for less; those that do not count whole."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from models.damage.arrays import FloatArray
from models.damage.dispersion import design_effects, expected_claims

TYPES, MONTHS = 8, 36
IS_AFTER = np.arange(MONTHS) >= 12
RNG = np.random.default_rng(7)
EXPOSURE = np.tile(np.linspace(300.0, 3_000.0, TYPES)[:, None], MONTHS)
MEANS = 0.02 * EXPOSURE * np.exp(0.3 * np.sin(np.arange(MONTHS) / 2.0))


def effects(claims: FloatArray, *, months_alike: bool = True) -> tuple[FloatArray, FloatArray]:
    return design_effects(claims, EXPOSURE, IS_AFTER, months_alike=months_alike)


def test_expected_claims_are_those_of_a_poisson_model_with_item_types_sides_and_months() -> None:
    """statsmodels' GLM as the referee."""
    claims = RNG.poisson(MEANS).astype(float)
    item, month = (each.ravel() for each in np.mgrid[:TYPES, :MONTHS])
    side = item * 2 + IS_AFTER[month]
    # A month before and one after the change are left out: sides and months are not told apart otherwise.
    columns = [(side == at) for at in range(2 * TYPES)] + [(month == at) for at in range(1, MONTHS) if at != 12]
    model = sm.GLM(
        claims.ravel(), np.column_stack(columns).astype(float), sm.families.Poisson(), exposure=EXPOSURE.ravel()
    )
    fitted = expected_claims(claims, EXPOSURE, IS_AFTER, months_alike=True)
    assert fitted.ravel() == pytest.approx(model.fit().fittedvalues, rel=1e-4)


def test_claims_by_chance_count_whole() -> None:
    counted_less = [max(each.max() for each in effects(RNG.poisson(MEANS).astype(float))) for _ in range(40)]
    assert np.mean(np.array(counted_less) > 1.0) < 0.35
    assert np.median(counted_less) == 1.0
    assert np.max(counted_less) < 2.5


def test_parcels_that_break_by_fours_count_a_quarter() -> None:
    found = [np.concatenate(effects((4 * RNG.poisson(MEANS / 4.0)).astype(float))).mean() for _ in range(20)]
    assert 3.5 < np.mean(found) < 4.5


def test_months_that_vary_count_the_less_the_more_claims_they_have() -> None:
    found = [effects(RNG.poisson(MEANS * RNG.gamma(25.0, 1.0 / 25.0, MEANS.shape)).astype(float)) for _ in range(20)]
    after = np.mean([each[0] for each in found], axis=0)
    wanted = 1.0 + 0.04 * (MEANS**2)[:, IS_AFTER].sum(axis=1) / MEANS[:, IS_AFTER].sum(axis=1)
    assert after == pytest.approx(wanted, rel=0.4)


def test_a_season_that_all_share_counts_only_where_nothing_was_left_alone() -> None:
    whole, alone = (np.concatenate(effects(MEANS, months_alike=alike)).max() for alike in (True, False))
    assert whole == 1.0
    assert alone > 1.5


def test_nothing_to_tell_from_changes_nothing() -> None:
    nothing = np.zeros((2, 3)), np.zeros((2, 3)), np.array([True, False, False])
    assert all((each == 1.0).all() for each in design_effects(*nothing, months_alike=True))
    one = design_effects(np.full((1, 2), 9.0), np.full((1, 2), 99.0), np.array([True, False]), months_alike=False)
    assert [float(each[0]) for each in one] == [1.0, 1.0]
