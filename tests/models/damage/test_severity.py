"""Loss per damaged parcel: credibility against published estimators, and no cent lost."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.damage.severity import credibility, recovered_share, severity_cents, shrink_severity

# C. A. Hachemeister, "Credibility for regression models with application to trend", in: Credibility: Theory and
# Applications, P. M. Kahn (ed.), 1975: average claims and claim numbers of five states over twelve quarters. Typed from
# memory; the published estimators would not come out of mistyped values.
AVERAGES = (
    *(1738, 1642, 1794, 2051, 2079, 2234, 2032, 2035, 2115, 2262, 2267, 2517),
    *(1364, 1408, 1597, 1444, 1342, 1675, 1470, 1448, 1464, 1831, 1612, 1471),
    *(1759, 1685, 1479, 1763, 1674, 2103, 1502, 1622, 1828, 2155, 2233, 2059),
    *(1223, 1146, 1010, 1257, 1426, 1532, 1953, 1123, 1343, 1243, 1762, 1306),
    *(1456, 1499, 1609, 1741, 1482, 1572, 1606, 1735, 1607, 1573, 1613, 1690),
)
NUMBERS = (
    *(7861, 9251, 8706, 8575, 7917, 8263, 9456, 8003, 7365, 7832, 7849, 9077),
    *(1622, 1742, 1523, 1515, 1622, 1602, 1964, 1515, 1527, 1748, 1654, 1861),
    *(1147, 1357, 1329, 1204, 998, 1077, 1277, 1218, 896, 1003, 1108, 1121),
    *(407, 396, 348, 341, 315, 328, 352, 331, 287, 384, 321, 342),
    *(2902, 3172, 3046, 3068, 2693, 2910, 3275, 2697, 2663, 3017, 3242, 3425),
)
STATES = np.arange(5).repeat(12)


@pytest.mark.published
def test_credibility_without_weights() -> None:
    """R package actuar, cm(~state, hachemeister, ratios = ratio.1:ratio.12): collective premium 1671.017, between state
    variance 72310.02, within state variance 46040.47; printed digits."""
    found = credibility(np.array(AVERAGES, dtype=float), np.ones(60), STATES, 5)
    assert found.mean == pytest.approx(1671.017, abs=5e-4)
    assert found.between == pytest.approx(72310.02, abs=5e-3)
    assert found.within == pytest.approx(46040.47, abs=5e-3)


@pytest.mark.from_memory
def test_credibility_with_weights() -> None:
    """Vignette "credibility" of the R package actuar, Bühlmann-Straub model of the same data (recalled from memory):
    collective premium 1684, between 89639, within 139120026, premiums 2055, 1524, 1793, 1443, 1603."""
    found = credibility(np.array(AVERAGES, dtype=float), np.array(NUMBERS, dtype=float), STATES, 5)
    assert found.mean == pytest.approx(1684, abs=0.5)
    assert found.between == pytest.approx(89639, abs=0.5)
    assert found.within == pytest.approx(139120026, abs=0.5)
    np.testing.assert_allclose(found.estimate, [2055, 1524, 1793, 1443, 1603], atol=0.5)


def test_groups_alike_are_pooled_and_an_empty_group_gets_the_mean() -> None:
    found = credibility(np.array([10.0, 30.0, 10.0, 30.0]), np.ones(4), np.array([0, 0, 1, 1]), 3)
    assert found.factor.tolist() == [0, 0, 0]
    assert found.estimate.tolist() == [20, 20, 20]


def claims(**columns: list[Any]) -> pd.DataFrame:
    size = len(next(iter(columns.values())))
    amounts = ("claimed", "paid", "refund", "replacement", "return_cost", "salvage")
    empty = {f"{name}_cents": pd.array([None] * size, dtype="Int64") for name in amounts}
    return pd.DataFrame(
        {"claim_state": ["paid"] * size, **empty}
        | {name: pd.array(cells, dtype=None if name == "claim_state" else "Int64") for name, cells in columns.items()}
    )


def test_net_loss_counts_what_is_known() -> None:
    rows = claims(
        refund_cents=[21350, 9000],
        return_cost_cents=[1720, None],
        paid_cents=[18900, None],
        salvage_cents=[4000, 100],
        claim_state=["paid", "refused"],
    )
    assert severity_cents(rows, handling_cents=250).tolist() == [420, 9150]


def test_an_open_claim_expects_the_shops_usual_recovery() -> None:
    rows = claims(
        claimed_cents=[10000, 10000, 8001, 5000],
        paid_cents=[10000, None, None, None],
        refund_cents=[10000, 10000, 8001, 5000],
        claim_state=["paid", "refused", "filed", "withdrawn"],
    )
    assert recovered_share(rows) == 0.5
    assert severity_cents(rows).tolist() == [0, 10000, 8001 - 4000, 5000]


def test_no_decided_claim_expects_no_recovery() -> None:
    assert severity_cents(claims(refund_cents=[700], claimed_cents=[700], claim_state=["filed"])).tolist() == [700]


def test_shrinkage_draws_small_cells_towards_their_item_type() -> None:
    rng = np.random.default_rng(4)
    losses = np.concatenate([rng.normal(5000, 800, 60), rng.normal(20000, 800, 60), [9000.0]])
    cells = np.concatenate([np.tile([0, 1], 30), np.tile([3, 4], 30), [2]])
    severity = shrink_severity(losses, cells, np.array([0, 0, 0, 1, 1, 1]))
    assert 5000 < severity.estimate[2] < 9000
    # Never used: its item type's mean.
    assert severity.estimate[5] == pytest.approx(20000, rel=0.05)


def test_one_very_dear_claim_does_not_carry_its_cell_away() -> None:
    losses = np.full(80, 6000.0)
    losses[::2] += 500
    losses[0] = 400_000.0
    severity = shrink_severity(losses, np.arange(80) % 8, np.zeros(8, dtype=np.int64))
    assert severity.estimate[0] < 20_000
    assert severity.cap_cents == 6500


def test_no_claim_at_all_costs_nothing() -> None:
    severity = shrink_severity(np.array([]), np.array([], dtype=np.int64), np.array([0, 1]))
    assert severity.estimate.tolist() == [0, 0]
    assert severity.interval()[1].tolist() == [0, 0]


def test_a_single_claim_is_not_held_for_certain() -> None:
    severity = shrink_severity(np.array([8000.0]), np.array([0]), np.array([0, 0, 1]))
    low, high = severity.interval()
    assert severity.estimate.tolist() == [8000, 8000, 8000]
    assert np.all(low < 4000)
    assert np.all(high > 12000)


def test_the_same_seed_gives_the_same_draws() -> None:
    losses, cells = np.array([10.0, 20.0, 40.0]), np.array([0, 1, 1])
    one, other = (shrink_severity(losses, cells, np.array([0, 0]), draws=50, seed=9).draws for _ in range(2))
    np.testing.assert_array_equal(one, other)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.integers(-5_000, 90_000), st.integers(0, 5)), min_size=1, max_size=40))
def test_claims_times_severity_is_the_whole_loss(rows: list[tuple[int, int]]) -> None:
    losses, cells = np.array([row[0] for row in rows], dtype=float), np.array([row[1] for row in rows])
    severity = shrink_severity(losses, cells, np.array([0, 0, 1, 1, 2, 3]), draws=20)
    assert (severity.claims * severity.estimate).sum() == pytest.approx(losses.sum(), abs=1e-4)
    assert np.all(np.isfinite(severity.draws))
