"""Rates per cell: intervals against published tables, shrinkage against the rat tumour example."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom

from models.damage.arrays import FloatArray
from models.damage.rates import (
    damage_rates,
    fit_beta_binomial,
    jeffreys_interval,
    raw_rates,
    shrink_rates,
    too_few,
    wilson_interval,
)
from models.errors import ContractError
from tests.models.damage.published import RATS
from tests.sampling import tries

NEWCOMBE = ((81, 263), (15, 148), (0, 20), (1, 29))


def column(pairs: tuple[tuple[int, int], ...], side: int) -> FloatArray:
    return np.array([pair[side] for pair in pairs], dtype=float)


@pytest.mark.published
def test_wilson_limits() -> None:
    """R. G. Newcombe, Statistics in Medicine 17 (1998), 857-872, Table I, method 3; four decimals."""
    low, high = wilson_interval(column(NEWCOMBE, 0), column(NEWCOMBE, 1))
    np.testing.assert_allclose(low, [0.2553, 0.0624, 0.0, 0.0061], atol=5e-5)
    np.testing.assert_allclose(high, [0.3662, 0.1605, 0.1611, 0.1718], atol=5e-5)


@pytest.mark.published
def test_jeffreys_limits() -> None:
    """Same tables of counts, Jeffreys limits by statsmodels 0.15.0 proportion_confint(method="jeffreys"); four
    decimals. The lower limit at no claim is zero by the rule of Brown, Cai and DasGupta, Statistical Science 16
    (2001), section 4.1.1, where the library gives 0.00002."""
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


def test_shrunk_rates_lie_between_the_cell_and_its_item_type() -> None:
    claims, exposure = np.array([8.0, 2.0, 1.0, 30.0]), np.array([100.0, 400.0, 60.0, 500.0])
    shrunk = shrink_rates(claims, exposure, np.array([0, 0, 1, 1]))
    raw = claims / exposure
    assert raw[1] < shrunk.rate[1] < shrunk.rate[0] < raw[0]
    assert raw[2] < shrunk.rate[2] < shrunk.rate[3] < raw[3]
    # More parcels, less shrinkage.
    assert abs(shrunk.rate[3] - raw[3]) < abs(shrunk.rate[2] - raw[2])


def test_a_method_never_used_gets_its_item_types_rate_with_a_wide_interval() -> None:
    claims, exposure = np.array([20.0, 0.0, 4.0, 5.0]), np.array([400.0, 0.0, 400.0, 380.0])
    shrunk = shrink_rates(claims, exposure, np.array([0, 0, 1, 1]))
    low, high = shrunk.interval()
    assert shrunk.rate[1] == pytest.approx(0.05, rel=0.15)
    assert high[1] - low[1] > 1.5 * (high[0] - low[0])


def test_cells_without_a_claim_count() -> None:
    """Dropping the quiet cells would raise the rates of all others."""
    claims, exposure = np.array([3.0, 0.0, 0.0, 4.0, 0.0, 0.0]), np.full(6, 100.0)
    kept = shrink_rates(claims, exposure, np.zeros(6, dtype=np.int64)).rate
    dropped = shrink_rates(claims[claims > 0], exposure[claims > 0], np.zeros(2, dtype=np.int64)).rate
    assert kept[[0, 3]].max() < dropped.min()


def test_no_claim_anywhere_promises_less_than_certainty() -> None:
    shrunk = shrink_rates(np.zeros(4), np.array([50.0, 20.0, 10.0, 0.0]), np.array([0, 0, 1, 1]))
    high = shrunk.interval()[1]
    assert np.all(shrunk.rate > 0)
    assert np.all(shrunk.rate < 0.3)
    assert np.all(high > 0.01)
    assert high[3] > high[0]


def test_one_cell_alone_is_told_by_its_own_record() -> None:
    shrunk = shrink_rates(np.array([3.0]), np.array([100.0]), np.array([0]))
    low, high = shrunk.interval()
    raw_low, raw_high = jeffreys_interval(np.array([3.0]), np.array([100.0]))
    assert shrunk.rate[0] == pytest.approx(0.03, abs=0.006)
    assert (low[0], high[0]) == pytest.approx((raw_low[0], raw_high[0]), abs=0.01)


def test_a_single_broken_parcel_out_of_one() -> None:
    claims, exposure = np.array([1.0, 5.0, 8.0, 7.0]), np.array([1.0, 500.0, 600.0, 400.0])
    shrunk = shrink_rates(claims, exposure, np.array([0, 0, 1, 1]))
    assert 0.01 < shrunk.rate[0] < 0.05


def test_too_few_needs_both_few_claims_and_few_expected() -> None:
    claims, exposure = np.array([4.0, 5.0, 0.0, 0.0]), np.array([10.0, 10.0, 600.0, 0.0])
    assert too_few(claims, exposure, np.full(4, 0.01)).tolist() == [True, False, False, True]


def test_exposure_below_the_claims_is_raised() -> None:
    assert raw_rates(np.array([2.0, 0.0]), np.array([0.7, 0.0])).tolist() == [1.0, 0.0]


def test_damage_rates_keeps_rows_and_adds_columns() -> None:
    cells = pd.DataFrame(
        {
            "item_type": ["tube", "tube", "tripod"],
            "packing_method": ["paper", "foam", "paper"],
            "claims": pd.array([9, 2, None], dtype="Int64"),
            "exposure": [300.5, 210.25, 0.0],
        },
        index=[7, 3, 5],
    )
    rates = damage_rates(cells)
    assert list(rates.index) == [7, 3, 5]
    assert rates.loc[7, "rate"] == pytest.approx(9 / 300.5)
    assert rates.loc[[5], ["rate", "rate_low", "rate_high"]].to_numpy().tolist() == [[0.0, 0.0, 1.0]]
    assert rates["is_too_few"].tolist() == [False, True, True]
    assert not rates.isna().drop(columns="claims").any(axis=None)


def test_a_missing_column_is_named() -> None:
    with pytest.raises(ContractError, match="exposure"):
        damage_rates(pd.DataFrame({"item_type": [], "packing_method": [], "claims": []}))


@settings(derandomize=True, deadline=None, max_examples=tries(50))
@given(
    st.lists(
        st.tuples(st.integers(0, 40), st.floats(0, 3_000, allow_nan=False), st.integers(0, 3)), min_size=1, max_size=12
    )
)
def test_limits_hold_the_estimate_and_are_never_missing(cells: list[tuple[int, float, int]]) -> None:
    rows = pd.DataFrame(cells, columns=["claims", "exposure", "item_type"]).assign(packing_method="paper")
    rates = damage_rates(rows)
    assert not rates.isna().any(axis=None)
    for low, middle, high in (
        ("rate_low", "rate", "rate_high"),
        ("wilson_low", "rate", "wilson_high"),
        ("shrunk_low", "shrunk_rate", "shrunk_high"),
    ):
        if middle == "rate":
            assert np.all(rates[low] <= rates[middle] + 1e-12)
            assert np.all(rates[middle] <= rates[high] + 1e-12)
        assert np.all(rates[[low, middle, high]].to_numpy() >= 0)
        assert np.all(rates[[low, middle, high]].to_numpy() <= 1)
        assert np.all(rates[low] < rates[high])
