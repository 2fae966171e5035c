"""Laws of delay and their drift: against scipy's distributions, every path counted out, and a known test."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy import stats
from scipy.special import logsumexp

from models.damage import delay_laws
from models.damage.delay_laws import GAMMAS, LOGNORMALS, SCALES, TRENDS, Delays, delays_of, law_shares, recorded


@pytest.mark.parametrize("law", range(len(GAMMAS) + len(LOGNORMALS)))
def test_laws_are_the_librarys_with_half_of_the_claims_by_the_middle_day(law: int) -> None:
    days, middle = np.array([1.0, 7.0, 14.0, 40.0, 120.0]), 14.0
    if law < len(GAMMAS):
        gamma = stats.gamma(GAMMAS[law])
        known = gamma.cdf(days / middle * gamma.median())
    else:
        known = stats.lognorm(LOGNORMALS[law - len(GAMMAS)], scale=middle).cdf(days)
    np.testing.assert_allclose(law_shares(law, days, np.array(np.log(middle))), known, rtol=1e-9)
    assert known[2] == pytest.approx(0.5)


def test_the_likelihood_is_that_of_claims_cut_off_by_the_age_of_their_parcels() -> None:
    """One claim of 4 days on a parcel of 9, by the library's exponential law: P(4 <= T < 5) / P(T < 10)."""
    shown = delays_of(recorded(np.array([4]), np.array([9]), 120)).likelihoods
    law, scale = GAMMAS.index(1.0), 20
    known = stats.expon(scale=np.exp(SCALES[scale]) / np.log(2.0))
    # Two in a hundred keep to no law: an even chance for each of 121 days.
    within = known.cdf([4.0, 5.0, 10.0]) / known.cdf(121.0) * 0.98 + 0.02 * np.array([4.0, 5.0, 10.0]) / 121.0
    assert shown[law, 0, scale] == pytest.approx(np.log((within[1] - within[0]) / within[2]), abs=1e-9)


@pytest.mark.parametrize("walk", [1, 2, 3])
def test_the_evidence_is_the_sum_over_every_path(walk: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three blocks, four scales and five trends: 8,000 paths counted out one by one."""
    monkeypatch.setattr(delay_laws, "SCALES", np.linspace(2.0, 2.9, 4))
    delay_laws._step.cache_clear()
    shown = np.random.default_rng(walk).normal(size=(3, 4))
    wide = Delays(shown[None])
    step, states = delay_laws._step(*delay_laws.WALKS[walk]), list(product(range(4), range(5)))
    start = np.array(
        [
            -0.5 * (delay_laws.SCALES[at] - delay_laws.USUAL_SCALE) ** 2
            - 0.5 * (TRENDS[trend] / delay_laws.WALKS[walk][1]) ** 2
            for at, trend in states
        ]
    )
    start -= logsumexp(start)
    paths = [
        start[a]
        + np.log(step[a, b])
        + np.log(step[b, c])
        + shown[2, states[a][0]]
        + shown[1, states[b][0]]
        + shown[0, states[c][0]]
        for a, b, c in product(range(20), repeat=3)
    ]
    evidence = wide.evidence[0, walk]
    delay_laws._step.cache_clear()
    assert evidence == pytest.approx(logsumexp(paths), abs=1e-9)


@pytest.mark.published
def test_the_drift_test_has_its_border_at_half_a_chi_square() -> None:
    """Self and Liang, Journal of the American Statistical Association 82 (1987), case 5: an even mixture of nothing and
    chi-square with one degree; 2.706 is that distribution's tenth percentile from above (any table of chi-square)."""
    found = Delays(np.zeros((1, 1, 1)))
    found.__dict__["evidence"] = np.array([[0.0, 2.706 / 2.0, 1.0, 0.5]])
    assert found.drift_p == pytest.approx(0.05, abs=1e-4)
    found.__dict__["evidence"] = np.array([[1.0, 0.5, 0.0, 0.5]])
    assert found.drift_p == 1.0


def test_steady_delays_are_seldom_said_to_drift() -> None:
    """Shops of 80 claims whose delays keep to one law: five in a hundred would be called drifting, at the most."""
    rng, called = np.random.default_rng(9), 0
    for _ in range(60):
        ages, lags = rng.integers(0, 400, 80), rng.gamma(2.0, 8.0, 80).astype(np.int64)
        seen = lags <= np.minimum(ages, 120)
        called += delays_of(recorded(lags[seen], ages[seen], 120)).drift_p < 0.05
    # Seven or more of sixty would come to pass once in thirty-five, were it five in a hundred.
    assert called <= 6
