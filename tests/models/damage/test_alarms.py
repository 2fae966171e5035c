"""Cumulative sums: published paths and run lengths, and alarms told once."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, poisson

from models.damage.alarms import cusum_path, design_weekly_cusum, in_a_row, lattice_run_length, one_alarm_per_cause
from models.errors import SettingsError
from tests.sampling import tries


@pytest.mark.published
def test_the_published_path() -> None:
    """J. M. Lucas, R. B. Crosier, "Fast initial response for CUSUM quality-control schemes", Technometrics 24 (1982),
    199-205, Table 5: h = 5, k = 0.5; one decimal. The plain sum alarms at the seventh value."""
    increments = np.array([0.8, 1.9, 1.4, 2.0, 1.1, 0.7, 2.6]) - 0.5
    path, alarms = cusum_path(increments, 5.0)
    np.testing.assert_allclose(path, [0.3, 1.7, 2.6, 4.1, 4.7, 4.9, 7.0], atol=0.05)
    assert alarms.tolist() == [6]


def normal_run_length(limit: float, shift: float, points: int = 120) -> float:
    """The normal sum with k = 0.5, rounded to a fine lattice; the limit lies half a point inside."""
    scores = np.arange(-10 * points, 10 * points + 1)
    edges = (np.append(scores, scores[-1] + 1) - 0.5) / points + 0.5 - shift
    return lattice_run_length(scores, np.diff(norm.cdf(edges)), round(limit * points) - 1)


@pytest.mark.from_memory
@pytest.mark.parametrize(
    ("limit", "shift", "published"), [(4, 1.0, 8.38), (5, 1.0, 10.4), (4, 0.0, 2 * 168), (5, 0.0, 2 * 465)]
)
def test_run_lengths_of_the_normal_sum(limit: float, shift: float, published: float) -> None:
    """D. C. Montgomery, Introduction to Statistical Quality Control, table of CUSUM run lengths with k = 1/2 (recalled
    from memory). With nothing wrong the two-sided chart there alarms twice as often as the one-sided one here."""
    assert normal_run_length(limit, shift) == pytest.approx(published, rel=0.012)


@pytest.mark.from_memory
def test_run_lengths_of_brook_and_evans() -> None:
    """D. Brook, D. A. Evans, Biometrika 59 (1972), 539-548: k = 0.5, h = 3 gives 117.59 and, shifted by 1.5, 3.75
    (recalled from memory)."""
    assert normal_run_length(3, 0.0) == pytest.approx(117.59, rel=0.005)
    assert normal_run_length(3, 1.5) == pytest.approx(3.75, abs=0.01)


def test_run_length_of_a_coin_by_hand() -> None:
    """Heads +1, tails -1, alarm above 1: from 0, E0 = 1 + E0/2 + E1/2 and E1 = 1 + E0/2, so E0 = 6."""
    assert lattice_run_length(np.array([-1, 1]), np.array([0.5, 0.5]), 1) == pytest.approx(6)


def test_the_weekly_sum_meets_its_run_length_in_a_shop_with_seasons() -> None:
    expected = np.tile(1.5 + np.sin(np.arange(52) / 52 * 2 * np.pi), 2_000)
    design = design_weekly_cusum(1.5)
    rng = np.random.default_rng(6)
    _, alarms = cusum_path(design.increments(rng.poisson(expected).astype(float), expected), design.limit)
    assert expected.size / alarms.size == pytest.approx(200, rel=0.2)


@pytest.mark.parametrize("expected", [0.005, 0.3, 1.0, 7.7, 120.0, 390.7, 2_000.0])
def test_the_weekly_limit_comes_near_the_wish(expected: float) -> None:
    assert 200 <= design_weekly_cusum(expected).run_length < 220


@pytest.mark.parametrize("expected", [30.0, 120.0, 390.7, 2_000.0])
def test_many_claims_show_the_wished_rise_within_two_weeks(expected: float) -> None:
    """Four standard deviations above the usual, where all charts of a large shop alarm once in 5,200 weeks."""
    design = design_weekly_cusum(expected, 5_200)
    claims = np.arange(int(2 * expected) + 100)
    chances = poisson.pmf(claims, expected + 4 * np.sqrt(expected))
    assert lattice_run_length(claims * design.claim_score - design.allowance, chances, design.limit) < 2.0


def test_many_claims_meet_their_run_length_by_simulation() -> None:
    design = design_weekly_cusum(390.7)
    seen = np.random.default_rng(9).poisson(390.7, 150_000).astype(float)
    _, alarms = cusum_path(design.increments(seen), design.limit)
    assert seen.size / alarms.size == pytest.approx(design.run_length, rel=0.12)


def test_no_expected_claims_are_refused() -> None:
    with pytest.raises(SettingsError, match="cannot grow"):
        design_weekly_cusum(0.0)


def test_no_parcels_give_no_alarm() -> None:
    path, alarms = cusum_path(np.array([]), 5.0)
    assert path.size == alarms.size == 0


def test_one_cause_is_reported_once() -> None:
    alarms = pd.DataFrame(
        [
            ("tube: paper", "claims", 14),
            ("Northline", "surcharge share", 12),
            ("tube: paper", "cost per parcel", 11),
            ("tube: paper", "claims", 9),
        ],
        columns=["cause", "chart", "position"],
    )
    reported = one_alarm_per_cause(alarms)
    assert reported[["cause", "chart", "position", "charts"]].values.tolist() == [
        ["tube: paper", "claims", 9, "claims, cost per parcel"],
        ["Northline", "surcharge share", 12, "surcharge share"],
    ]


def test_no_alarms_stay_none() -> None:
    assert one_alarm_per_cause(pd.DataFrame({"cause": [], "chart": [], "position": []})).empty


def test_a_lasting_state_is_one_signal() -> None:
    assert in_a_row(np.array([True, True, False, False, True, True, True, False])).tolist() == [0, 4]
    assert in_a_row(np.array([], dtype=bool)).tolist() == []


@settings(derandomize=True, deadline=None, max_examples=tries(80))
@given(st.lists(st.floats(-3, 3), max_size=60), st.floats(0.5, 6))
def test_the_path_is_the_plain_recursion(increments: list[float], limit: float) -> None:
    path, alarms = cusum_path(np.array(increments), limit)
    level = 0.0
    found: list[int] = []
    for position, increment in enumerate(increments):
        level = max(level + increment, 0.0)
        assert path[position] == pytest.approx(level, abs=1e-9)
        if path[position] > limit:
            found, level = [*found, position], 0.0
    assert alarms.tolist() == found
