"""The pooled model: its mode against another library's, its spread against integration, and what it does with few."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike
from scipy.integrate import dblquad
from scipy.special import expit
from sklearn.linear_model import LogisticRegression

from models.damage.arrays import FloatArray, IntArray
from models.damage.laplace import MIDDLE, WIDE, Design, Posterior, fit
from models.damage.pooled import overdispersion, pooled


def numbers(values: ArrayLike) -> IntArray:
    return np.asarray(values, dtype=np.int64)


def design(claims: ArrayLike, **levels: ArrayLike) -> Design:
    numbered = {name: numbers(level) for name, level in levels.items()}
    sizes = tuple(int(level.max()) + 1 for level in numbered.values())
    return Design(np.asarray(claims, dtype=float), numbered, sizes)


def rates(claims: ArrayLike, exposure: ArrayLike, item_types: ArrayLike) -> FloatArray:
    """Draws x cells, each cell a packing method of its own item type."""
    cells = np.arange(len(np.asarray(claims)))
    known = design(claims, item_type=item_types, cell=cells)
    found = pooled(known, [np.asarray(exposure, dtype=float)], cells)
    return found.rates(known.levels, np.ones(cells.size), cells)


def test_sums_over_cells_are_the_products_of_their_matrix() -> None:
    """scipy's sparse and numpy's dense products."""
    rng = np.random.default_rng(3)
    known = design(rng.poisson(1.0, size=50), item=rng.integers(4, size=50), method=rng.integers(7, size=50))
    matrix, values = known.matrix.toarray(), rng.random(50)
    effects, covariance = rng.normal(size=matrix.shape[1]), np.cov(rng.normal(size=(matrix.shape[1], 30)))
    np.testing.assert_array_equal(known.reach(effects), known.matrix @ effects)
    np.testing.assert_array_equal(known.by_effect(values), known.matrix.T @ values)
    np.testing.assert_allclose(known.by_pair(values), matrix.T @ (matrix * values[:, None]), rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose(known.variances(covariance), ((matrix @ covariance) * matrix).sum(axis=1), rtol=1e-9)


def test_effects_are_those_of_a_penalised_logistic_regression() -> None:
    """scikit-learn 1.9 LogisticRegression (L2, C = the variance of an effect) on one row per claimed and whole parcel.

    The shop's own effect is given there as one more column, wide enough as to be free in both.
    """
    rng = np.random.default_rng(5)
    item, method = rng.integers(5, size=60), rng.integers(3, size=60)
    parcels = rng.integers(5, 60, size=60).astype(float)
    claims = rng.binomial(parcels.astype(int), 0.15).astype(float)
    known = design(claims, item_type=item, packing_method=method)
    spread = 0.5
    found = fit(Posterior(known, parcels, np.array([spread, spread]), 1.0), np.zeros(9))
    columns = known.matrix.toarray()
    columns[:, 0] *= WIDE / spread
    # Theirs is drawn towards nothing, ours towards MIDDLE: with this much of it in the offset both ask the same.
    theirs = LogisticRegression(C=spread**2, fit_intercept=False, tol=1e-10, max_iter=10_000).fit(
        np.vstack([columns, columns]), np.repeat([1, 0], 60), sample_weight=np.concatenate([claims, parcels - claims])
    )
    expected = theirs.coef_[0].copy()
    expected[0] *= WIDE / spread
    # What remains is the pull towards MIDDLE: two parts in a hundred of one standard deviation.
    np.testing.assert_allclose(expit(known.matrix @ found.effects), expit(known.matrix @ expected), rtol=0.01)


def test_mean_and_spread_agree_with_integration() -> None:
    """One factor of one level beside the shop's own effect, both integrated over a plane by scipy's dblquad."""
    claims, parcels, spread = 12.0, 400.0, 0.4
    known = design([claims], item_type=[0])
    shown = Posterior(known, np.array([parcels]), np.array([spread]), 1.0)
    found = fit(shown, np.array([MIDDLE, 0.0]))

    def density(apart: float, own: float) -> float:
        reach = own + apart
        shown = claims * reach - parcels * np.logaddexp(0.0, reach)
        return float(np.exp(shown - 0.5 * ((own - MIDDLE) / WIDE) ** 2 - 0.5 * (apart / spread) ** 2 + 54.0))

    limits = (MIDDLE - 6, MIDDLE + 6, -3, 3)
    whole = dblquad(density, *limits)[0]
    mean = dblquad(lambda apart, own: density(apart, own) * (own + apart), *limits)[0] / whole
    square = dblquad(lambda apart, own: density(apart, own) * (own + apart) ** 2, *limits)[0] / whole
    drawn = found.drawn(np.random.default_rng(1), 40_000).sum(axis=1)
    assert drawn.mean() == pytest.approx(mean, abs=0.06)
    assert drawn.std() == pytest.approx(np.sqrt(square - mean**2), rel=0.05)


@pytest.mark.parametrize("claimed", [3.0, 12.0])
def test_few_claims_make_no_more_claims_of_all_parcels_than_were_seen(claimed: float) -> None:
    """Twenty-four kinds of goods, a hundred parcels each, a claim here and there. Draws around the mode alone make
    more, since a logarithm is as often as far above as below."""
    claims = np.zeros(24)
    claims[: int(claimed)] = 1.0
    drawn = rates(claims, np.full(24, 100.0), np.arange(24) % 4)
    assert 100.0 * drawn.sum(axis=1).mean() == pytest.approx(claimed, rel=0.12)


def test_rates_lie_between_the_cell_and_its_item_type() -> None:
    claims, parcels = np.array([8.0, 2.0, 1.0, 30.0]), np.array([100.0, 400.0, 60.0, 500.0])
    found, raw = rates(claims, parcels, [0, 0, 1, 1]).mean(axis=0), claims / parcels
    assert raw[1] < found[1] < found[0] < raw[0]
    assert raw[2] < found[2] < found[3]
    # More parcels, less of a pull.
    assert abs(found[3] - raw[3]) < abs(found[2] - raw[2])


def test_a_cell_without_parcels_has_its_item_types_rate_with_a_wide_interval() -> None:
    found = rates([20.0, 0.0, 4.0, 5.0], [400.0, 0.0, 400.0, 380.0], [0, 0, 1, 1])
    low, high = np.quantile(found, [0.025, 0.975], axis=0)
    assert low[1] < 0.05 < high[1]
    assert high[1] - low[1] > 1.5 * (high[0] - low[0])


def test_cells_without_a_claim_count() -> None:
    """Dropping the quiet cells would raise the rates of all others."""
    kept = rates([3.0, 0.0, 0.0, 4.0, 0.0, 0.0], np.full(6, 100.0), np.zeros(6)).mean(axis=0)
    dropped = rates([3.0, 4.0], [100.0, 100.0], [0, 0]).mean(axis=0)
    assert kept[[0, 3]].max() < dropped.min()


def test_no_claim_anywhere_promises_less_than_certainty() -> None:
    found = rates(np.zeros(4), [50.0, 20.0, 10.0, 0.0], [0, 0, 1, 1])
    assert np.all(found > 0)
    assert np.all(np.quantile(found, 0.975, axis=0) > 0.01)
    assert np.all(found.mean(axis=0) < 0.1)


def test_a_single_broken_parcel_out_of_one_says_little() -> None:
    found = rates([1.0, 5.0, 8.0, 7.0], [1.0, 500.0, 600.0, 400.0], [0, 0, 1, 1])
    assert 0.008 < found[:, 0].mean() < 0.06


def test_what_is_not_known_of_late_claims_widens_the_interval() -> None:
    """The same parcels, at risk for sure, or by half to one and a half of that: four in ten more, at the least."""
    cells = numbers([0, 1])
    known = design([20.0, 25.0], item_type=cells)
    sure, unsure = np.array([1_000.0, 1_200.0]), [np.array([1_000.0, 1_200.0]) * share for share in (0.5, 1.0, 1.5)]
    found = [pooled(known, at_risk, cells).rates(known.levels, np.ones(2), cells) for at_risk in ([sure], unsure)]
    narrow, wide = (np.diff(np.quantile(each, [0.1, 0.9], axis=0), axis=0) for each in found)
    assert np.all(wide > 1.4 * narrow)


def test_a_carrier_that_goes_with_a_method_leaves_the_method_open() -> None:
    """Foam only ever goes by the carrier that breaks more: what is whose cannot be told, and the interval says so."""
    claims, parcels = [60.0, 20.0], np.array([2_000.0, 2_000.0])
    together = design(claims, packing_method=[0, 1], carrier=[0, 1])
    crossed = design([30.0, 30.0, 10.0, 10.0], packing_method=[0, 0, 1, 1], carrier=[0, 1, 0, 1])
    reach = []
    for known, at_risk in ((together, parcels), (crossed, np.full(4, 1_000.0))):
        cells = np.arange(known.claims.size)
        found = pooled(known, [at_risk], cells)
        same = [dict(known.levels) | {"packing_method": np.full(cells.size, method)} for method in (0, 1)]
        first, second = (found.rates(levels, at_risk, np.zeros(cells.size, dtype=np.int64)) for levels in same)
        reach.append(np.quantile(np.log(first / second), [0.025, 0.975]))
    assert reach[0][0] < 0.0 < reach[0][1]
    assert reach[1][0] > 0.3
    assert np.diff(reach[0]) > 1.5 * np.diff(reach[1])


@pytest.mark.parametrize(("noise", "least", "most"), [(0.0, 1.0, 1.0), (0.5, 2.5, 8.0)])
def test_more_variation_than_chance_is_seen(noise: float, least: float, most: float) -> None:
    rng = np.random.default_rng(3)
    parcels = np.full(120, 400.0)
    rate = 0.03 * np.exp(noise * rng.standard_normal(120) - noise**2 / 2)
    cells = np.arange(120)
    known = design(rng.poisson(parcels * rate), item_type=cells % 4)
    found = fit(Posterior(known, parcels, np.array([0.3]), 1.0), np.append(MIDDLE, np.zeros(4)))
    assert least <= overdispersion(known, parcels, found, cells) <= most
