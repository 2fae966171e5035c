"""The logistic cross-check of the Mantel-Haenszel odds ratio."""

from __future__ import annotations

import pandas as pd
import pytest

from models.damage.comparison import compare
from models.damage.logistic import check_by_logistic
from tests.models.damage.published import admissions, strata, vaccine_trials


@pytest.mark.parametrize("table", [admissions(), vaccine_trials()], ids=["admissions", "vaccine trials"])
def test_it_agrees_with_mantel_haenszel_where_claims_are_many(table: pd.DataFrame) -> None:
    check, found = check_by_logistic(table), compare(table)
    assert check is not None
    assert found is not None
    assert check.odds_ratio.value == pytest.approx(found.odds_ratio.value, rel=0.005)
    assert check.odds_ratio.low == pytest.approx(found.odds_ratio.low, rel=0.01)
    assert not check.is_penalised


@pytest.mark.from_memory
def test_firth_on_one_stratum_adds_a_half_to_every_cell() -> None:
    """D. Firth, Biometrika 80 (1993), 27-38: for a saturated binomial model the penalised fit equals adding one half to
    each count (the remark is recalled from memory)."""
    check = check_by_logistic(strata(("tube", 0, 20, 3, 30)))
    assert check is not None
    assert check.is_penalised
    assert check.odds_ratio.value == pytest.approx((0.5 / 20.5) / (3.5 / 27.5), rel=1e-6)


def test_firth_over_several_strata_is_finite_and_points_the_right_way() -> None:
    check = check_by_logistic(strata(("tube", 0, 120, 6, 130), ("tripod", 0, 80.5, 3, 90.25), ("mount", 0, 9, 0, 8)))
    assert check is not None
    assert check.is_penalised
    assert 0 < check.odds_ratio.low < check.odds_ratio.value < 0.5
    assert check.odds_ratio.high < 100


def test_nothing_to_fit_is_no_check() -> None:
    assert check_by_logistic(strata(("tube", 0, 20, 0, 30))) is None
    assert check_by_logistic(strata(("tube", 20, 20, 30, 30))) is None
    assert check_by_logistic(strata(("tube", 2, 20, 0, 0))) is None
