"""Control charts against the NIST handbook, and the false alarms they promise."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import betabinom

from models.damage.charts import _forecast, individuals_chart, moving_sigma, share_chart
from models.errors import SettingsError

FLOW = np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
WAFERS = (12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6)


@pytest.mark.published
def test_individuals_chart_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2, ten batches: mean 50.81, mean moving range
    1.8778, limits 45.8159 and 55.8041."""
    chart = individuals_chart(FLOW)
    assert chart.center == pytest.approx(50.81, abs=5e-3)
    assert moving_sigma(FLOW) * 1.128 == pytest.approx(1.8778, abs=5e-5)
    assert chart.lower[0] == pytest.approx(45.8159, abs=1e-4)
    assert chart.upper[0] == pytest.approx(55.8041, abs=1e-4)
    assert not chart.is_out.any()


@pytest.mark.published
def test_share_chart_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.3.2, thirty wafers of fifty chips: mean 0.2313. The
    limits 0.0524 and 0.4102 and the wafers outside, 15 and 23, follow by the formula printed there."""
    chart = share_chart(np.array(WAFERS, dtype=float), np.full(30, 50.0))
    assert chart.center == pytest.approx(0.2313, abs=5e-5)
    assert (chart.lower[0], chart.upper[0]) == pytest.approx((0.0524, 0.4102), abs=5e-5)
    assert (np.flatnonzero(chart.is_out) + 1).tolist() == [15, 23]


def test_the_baseline_alone_sets_the_limits() -> None:
    chart = share_chart(np.array([5.0, 5.0, 60.0]), np.full(3, 100.0), baseline=2)
    assert chart.center == 0.05
    assert chart.is_high.tolist() == [False, False, True]


def test_a_week_without_parcels_is_never_out() -> None:
    for periods in (None, 200.0):
        chart = share_chart(np.array([5.0, 6.0, 0.0]), np.array([100.0, 100, 0]), periods_between_false_alarms=periods)
        assert not chart.is_out[2]
        assert np.all(np.isfinite(chart.upper))


def test_foretold_limits_alarm_as_often_as_promised() -> None:
    """26 weeks of baseline, then judge one more: at most one false alarm in 200, over 1,500 and 4,000 quiet shops."""
    rng = np.random.default_rng(12)
    surcharged = rng.binomial(60, 0.08, (1_500, 27)).astype(float)
    costs = rng.normal(1_500, 120, (4_000, 27))
    shares = [share_chart(row, np.full(27, 60.0), baseline=26, periods_between_false_alarms=200) for row in surcharged]
    values = [individuals_chart(row, baseline=26, periods_between_false_alarms=200) for row in costs]
    assert np.mean([chart.is_out[-1] for chart in shares]) <= 0.009
    assert np.mean([chart.is_out[-1] for chart in values]) == pytest.approx(0.005, abs=0.003)


def test_short_baselines_are_refused() -> None:
    with pytest.raises(SettingsError, match="too few"):
        individuals_chart(np.array([1_500.0]))
    with pytest.raises(SettingsError, match="too few"):
        share_chart(np.array([]), np.array([]))


@pytest.mark.parametrize(
    ("marked", "others"), [(0.5, 12.5), (0.5, 9_000.5), (3.5, 4.5), (812.5, 40_000.5), (90.5, 0.5)]
)
@pytest.mark.parametrize("periods", [20.0, 200.0, 5_000.0])
def test_foretold_limits_are_the_reference_quantiles(marked: float, others: float, periods: float) -> None:
    tail = 0.5 / periods  # reference: scipy.stats.betabinom, its own search
    sizes = np.array([1, 2, 7, 60, 900, 13_000])
    law = betabinom(sizes, marked, others)
    assert _forecast(sizes, marked, others, tail).tolist() == [law.ppf(tail).tolist(), law.ppf(1.0 - tail).tolist()]
