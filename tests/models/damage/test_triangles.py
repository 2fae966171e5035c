"""Chain ladder against Mack's published reserves and standard errors."""

from __future__ import annotations

import numpy as np
import pytest

from models.damage.lags import effective_exposure, reporting_lags
from models.damage.triangles import chain_ladder, claim_triangle
from models.errors import NotFoundError
from tests.models.damage.published import MACK_FACTORS, taylor_ashe

TODAY = np.datetime64("2026-10-31")


@pytest.mark.published
def test_mack_reserves_and_errors() -> None:
    """T. Mack, ASTIN Bulletin 23 (1993), 213-225: reserves and standard errors of the Taylor-Ashe triangle."""
    found = chain_ladder(taylor_ashe())
    reserves = (0, 94634, 469511, 709638, 984889, 1419459, 2177641, 3920301, 4278972, 4625811)
    errors = (0, 75535, 121699, 133549, 261406, 411010, 558317, 875328, 971258, 1363155)
    np.testing.assert_allclose(found.factors, MACK_FACTORS, atol=5e-5)
    np.testing.assert_allclose(found.outstanding, reserves, atol=0.6)
    np.testing.assert_allclose(found.standard_error, errors, atol=0.6)
    assert found.outstanding.sum() == pytest.approx(18_680_856, abs=0.6)
    assert found.total_standard_error == pytest.approx(2_447_095, abs=0.6)


def test_a_triangle_from_claims() -> None:
    shipped = ["2026-08-03", "2026-08-20", "2026-08-31", "2026-09-15", "2026-10-02", "2026-10-30"]
    opened = ["2026-08-10", "2026-10-02", "2026-09-01", "2026-09-30", "2026-10-20", "2026-11-05"]
    expected = [[1, 2, 3], [1, 1, np.nan], [1, np.nan, np.nan]]
    np.testing.assert_array_equal(claim_triangle(shipped, opened, TODAY), expected)


def test_an_unfinished_month_is_left_out() -> None:
    triangle = claim_triangle(["2026-08-03", "2026-10-02"], ["2026-08-10", "2026-10-05"], "2026-10-30")
    assert triangle.shape == (2, 2)


def test_months_without_claims_change_nothing() -> None:
    found = chain_ladder(np.array([[0.0, 0.0, 0.0], [4.0, 4.0, np.nan], [2.0, np.nan, np.nan]]))
    np.testing.assert_array_equal(found.ultimate, [0, 4, 2])
    assert np.all(np.isfinite(found.standard_error))
    assert found.total_standard_error == 0


def test_two_months_are_too_few() -> None:
    with pytest.raises(NotFoundError, match="at least 3 needed"):
        chain_ladder(np.array([[1.0, 2.0], [1.0, np.nan]]))


def test_the_month_triangle_and_the_daily_curve_tell_the_same_claims_to_come() -> None:
    rng = np.random.default_rng(2)
    shipped = TODAY - rng.integers(0, 365, 6_000)
    opened = shipped + rng.gamma(2.0, 9.0, 6_000).astype(np.int64)
    kept = opened <= TODAY
    curve = reporting_lags(shipped[kept], opened[kept], TODAY, window_days=150)
    days = TODAY - np.arange(365)
    exposure = effective_exposure(days, TODAY, curve, np.zeros(365, dtype=np.int64), 1)[0]
    months = chain_ladder(claim_triangle(shipped[kept], opened[kept], TODAY))
    assert kept.sum() * 365 / exposure == pytest.approx(6_000, rel=0.015)
    assert months.ultimate.sum() == pytest.approx(6_000, rel=0.015)
    assert abs(months.outstanding.sum() - (~kept).sum()) < 2 * months.total_standard_error
