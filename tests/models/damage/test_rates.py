"""Rates per cell: intervals against published tables, what lies behind cells against the rat tumour example."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom

from models.damage.arrays import FloatArray
from models.damage.rates import fit_beta_binomial, jeffreys_interval, raw_rates, too_few
from tests.models.damage.published import RATS
from tests.sampling import tries

NEWCOMBE = ((81, 263), (15, 148), (0, 20), (1, 29))


def column(pairs: tuple[tuple[int, int], ...], side: int) -> FloatArray:
    return np.array([pair[side] for pair in pairs], dtype=float)


@pytest.mark.published
def test_jeffreys_limits() -> None:
    """Counts of R. G. Newcombe, Statistics in Medicine 17 (1998), 857-872, Table I. Jeffreys' limits of them by
    statsmodels 0.15.0 proportion_confint(method="jeffreys"), four decimals; the lower limit at no claim is zero by the
    rule of Brown, Cai and DasGupta, Statistical Science 16 (2001), section 4.1.1, where the library gives 0.00002."""
    low, high = jeffreys_interval(column(NEWCOMBE, 0), column(NEWCOMBE, 1))
    np.testing.assert_allclose(low, [0.2545, 0.0604, 0.0, 0.0037], atol=5e-5)
    np.testing.assert_allclose(high, [0.3656, 0.1576, 0.1166, 0.1501], atol=5e-5)
    assert low[2] == 0.0


@pytest.mark.published
def test_beta_binomial_fit_of_the_rat_tumours() -> None:
    """70 historical groups: alpha 2.304768, beta 14.079707, as printed in the vignette of the R package BayesGOF
    (CRAN; data of R. E. Tarone, Biometrics 38 (1982))."""
    claims, exposure = column(RATS, 0)[:-1], column(RATS, 1)[:-1]
    alpha, beta = fit_beta_binomial(claims, exposure, penalised=False)
    assert (alpha, beta) == pytest.approx((2.304768, 14.079707), abs=1e-3)


def test_the_penalty_only_nudges_where_spread_is_plain() -> None:
    claims, exposure = column(RATS, 0), column(RATS, 1)
    plain, nudged = (fit_beta_binomial(claims, exposure, penalised=each) for each in (False, True))
    assert sum(nudged) == pytest.approx(sum(plain), rel=0.1)
    assert nudged[0] / sum(nudged) == pytest.approx(plain[0] / sum(plain), rel=0.01)


def test_the_fit_is_the_likelihoods_top() -> None:
    """scipy's beta-binomial falls in every direction from the fit."""
    claims, exposure = column(RATS, 0), column(RATS, 1)
    alpha, beta = fit_beta_binomial(claims, exposure, penalised=False)

    def likelihood(a: float, b: float) -> float:
        return float(betabinom.logpmf(claims, exposure, a, b).sum())

    for step_a, step_b in ((0.01, 0), (-0.01, 0), (0, 0.05), (0, -0.05)):
        assert likelihood(alpha + step_a, beta + step_b) < likelihood(alpha, beta)


@pytest.mark.parametrize(
    ("claims", "exposure"), [([], []), ([0.0, 0.0], [0.0, 0.0]), ([0.0, 0.0], [9.0, 5.0]), ([3.0], [9.0])]
)
def test_cells_that_cannot_tell_give_jeffreys(claims: list[float], exposure: list[float]) -> None:
    assert fit_beta_binomial(np.array(claims), np.array(exposure)) == (0.5, 0.5)


def test_too_few_needs_both_few_claims_and_few_expected() -> None:
    claims, exposure = np.array([4.0, 5.0, 0.0, 0.0]), np.array([10.0, 10.0, 600.0, 0.0])
    assert too_few(claims, exposure, np.full(4, 0.01)).tolist() == [True, False, False, True]


def test_exposure_below_the_claims_is_raised() -> None:
    assert raw_rates(np.array([2.0, 0.0]), np.array([0.7, 0.0])).tolist() == [1.0, 0.0]


@settings(derandomize=True, deadline=None, max_examples=tries(50))
@given(st.lists(st.tuples(st.integers(0, 40), st.floats(0, 3_000, allow_nan=False)), min_size=1, max_size=12))
def test_limits_hold_the_estimate_and_are_never_missing(cells: list[tuple[int, float]]) -> None:
    claims, exposure = np.array(cells, dtype=float).T
    rates, (low, high) = raw_rates(claims, exposure), jeffreys_interval(claims, exposure)
    assert np.all(low <= rates + 1e-12)
    assert np.all(rates <= high + 1e-12)
    assert np.all(low < high)
    assert np.all((low >= 0) & (high <= 1))
