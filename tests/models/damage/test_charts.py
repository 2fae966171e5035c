"""Control charts against the NIST handbook, and the false alarms they promise."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike
from scipy.stats import betabinom

from models.damage.charts import ControlChart, _limits, individuals_chart, moving_sigma, share_chart
from models.damage.expected import expected_counts, widths
from models.errors import SettingsError

FLOW = np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
WAFERS = (12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6)


@pytest.mark.published
def test_individuals_chart_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2, ten batches: mean 50.81, mean moving range
    1.8778, limits 45.8159 and 55.8041."""
    chart = individuals_chart(FLOW)
    assert chart.center == pytest.approx(np.full(10, 50.81), abs=5e-3)
    assert moving_sigma(FLOW) * 1.128 == pytest.approx(1.8778, abs=5e-5)
    assert chart.lower[0] == pytest.approx(45.8159, abs=1e-4)
    assert chart.upper[0] == pytest.approx(55.8041, abs=1e-4)
    assert not chart.is_out.any()


@pytest.mark.published
def test_share_chart_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.3.2, thirty wafers of fifty chips: mean 0.2313. The
    limits 0.0524 and 0.4102 and the wafers outside, 15 and 23, follow by the formula printed there."""
    counts, sizes = np.array(WAFERS, dtype=float), np.full(30, 50.0)
    chart = share_chart(counts, sizes, expected_counts(counts[None], sizes[None], 30))
    assert chart.center == pytest.approx(np.full(30, 0.2313), abs=5e-5)
    assert (chart.lower[0], chart.upper[0]) == pytest.approx((0.0524, 0.4102), abs=5e-5)
    assert (np.flatnonzero(chart.is_out) + 1).tolist() == [15, 23]


def drawn(counts: ArrayLike, sizes: ArrayLike, baseline: int, periods: float | None = 200.0) -> ControlChart:
    """The chart of cells x periods."""
    marked, parcels = np.atleast_2d(counts).astype(float), np.atleast_2d(sizes).astype(float)
    expected = expected_counts(marked, parcels, baseline)
    return share_chart(marked.sum(axis=0), parcels.sum(axis=0), expected, periods_between_false_alarms=periods)


def test_the_baseline_alone_sets_the_limits() -> None:
    chart = drawn([5, 5, 60], [100] * 3, 2, None)
    assert chart.center == pytest.approx([0.05] * 3)
    assert chart.is_high.tolist() == [False, False, True]


def test_a_week_without_parcels_is_never_out() -> None:
    for periods in (None, 200.0):
        chart = drawn([5, 6, 0], [100, 100, 0], 2, periods)
        assert not chart.is_out[2]
        assert np.all(np.isfinite(chart.upper))


def test_a_promotion_of_goods_that_are_often_charged_is_no_alarm() -> None:
    """Long goods are charged in four of five parcels, small ones in one of fifty; then four times as many long ones."""
    long, small = [20] * 30 + [80], [80] * 31
    usual = drawn([[16] * 30 + [64], [2] * 30 + [1]], [long, small], 30)
    assert usual.center[-1] == pytest.approx((64 + 1.6) / 160, abs=0.01)
    assert not usual.is_out[-1]
    more = drawn([[16] * 30 + [64], [2] * 30 + [16]], [long, small], 30)
    assert more.is_high[-1]


def test_a_surcharge_never_seen_before_needs_more_than_one_parcel() -> None:
    found = [drawn([0] * 30 + [count], [40] * 31, 30, 1_000.0).is_high[-1] for count in (1, 8)]
    assert found == [False, True]


def test_foretold_limits_alarm_as_often_as_promised() -> None:
    """26 weeks of baseline, then judge one more: at most one false alarm in 200, over 1,500 and 4,000 quiet shops."""
    rng = np.random.default_rng(12)
    surcharged = rng.binomial(60, 0.08, (1_500, 27))
    costs = rng.normal(1_500, 120, (4_000, 27))
    shares = [drawn(row, np.full(27, 60), 26) for row in surcharged]
    values = [individuals_chart(row, baseline=26, periods_between_false_alarms=200) for row in costs]
    assert np.mean([chart.is_out[-1] for chart in shares]) <= 0.009
    assert np.mean([chart.is_out[-1] for chart in values]) == pytest.approx(0.005, abs=0.003)


def test_short_baselines_are_refused() -> None:
    with pytest.raises(SettingsError, match="too few"):
        individuals_chart(np.array([1_500.0]))


@pytest.mark.parametrize(
    ("marked", "others"), [(0.5, 12.5), (0.5, 9_000.5), (3.5, 4.5), (812.5, 40_000.5), (90.5, 0.5)]
)
@pytest.mark.parametrize("periods", [20.0, 200.0, 5_000.0])
def test_foretold_limits_are_the_reference_quantiles(marked: float, others: float, periods: float) -> None:
    tail = 0.5 / periods  # reference: scipy.stats.betabinom, its own search
    for size in (1, 2, 7, 60, 900, 13_000):
        law = betabinom(size, marked, others)
        assert _limits(size, marked, others, tail) == (law.ppf(tail), law.ppf(1.0 - tail))


def test_wider_where_few_parcels_or_little_known_goods_make_the_mean() -> None:
    parcels = np.array([[100.0] * 20 + [100, 25, 0, 400], [5.0] * 20 + [5, 5, 105, 20]])
    found = widths(parcels, 20)
    assert found[20] == pytest.approx(found[0]) == pytest.approx(1.0, abs=0.05)
    assert found[21] == pytest.approx(np.sqrt(105 / 30), rel=0.05)
    assert found[22] == pytest.approx(np.sqrt(1 + 105 / 101), rel=0.01)
    assert 1.0 <= found[23] < 1.1
    chart = individuals_chart(np.array([1.0, 1.1, 1.0, 1.1]), widths=np.array([1.0, 1, 1, 2]))
    assert chart.upper[3] - chart.center[3] == pytest.approx(2 * (chart.upper[0] - chart.center[0]))
