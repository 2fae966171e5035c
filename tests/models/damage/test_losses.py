"""What a damaged parcel costs: pooled shares against published credibility and a reference library; heavy tails."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from models.damage.arrays import FloatArray, IntArray
from models.damage.losses import Claimed, Goods, Losses, pooled_losses, variance_by_mean

# C. A. Hachemeister, "Credibility for regression models with application to trend", in: Credibility: Theory and
# Applications, P. M. Kahn (ed.), 1975: average claims of five states over twelve quarters. Typed from memory; the
# published estimators would not come out of mistyped values.
AVERAGES = (
    *(1738, 1642, 1794, 2051, 2079, 2234, 2032, 2035, 2115, 2262, 2267, 2517),
    *(1364, 1408, 1597, 1444, 1342, 1675, 1470, 1448, 1464, 1831, 1612, 1471),
    *(1759, 1685, 1479, 1763, 1674, 2103, 1502, 1622, 1828, 2155, 2233, 2059),
    *(1223, 1146, 1010, 1257, 1426, 1532, 1953, 1123, 1343, 1243, 1762, 1306),
    *(1456, 1499, 1609, 1741, 1482, 1572, 1606, 1735, 1607, 1573, 1613, 1690),
)
COLLECTIVE, BETWEEN, WITHIN = 1671.017, 72310.02, 46040.47


def goods(types: int, methods: int = 1, worth: float = 20_000.0) -> Goods:
    """Every item type with every method, all worth the same."""
    item, method = (each.ravel() for each in np.mgrid[:types, :methods])
    return Goods(item, method, np.full(item.size, worth))


def claimed(cells: IntArray, lost: FloatArray, paid: FloatArray | float = 0.0, worth: float = 20_000.0) -> Claimed:
    count = cells.size
    settled = np.ones(count, dtype=bool)
    return Claimed(cells, lost, np.broadcast_to(paid, count).astype(float), np.full(count, worth), settled)


def limits(draws: FloatArray) -> tuple[FloatArray, FloatArray]:
    low, high = np.quantile(draws, [0.025, 0.975], axis=0)
    return low, high


@pytest.mark.published
def test_few_groups_are_drawn_together_as_by_credibility() -> None:
    """R package actuar, cm(~state, hachemeister, ratios = ratio.1:ratio.12): collective premium 1671.017, between state
    variance 72310.02, within state variance 46040.47. The premium of a state follows from these (Bühlmann): its mean,
    drawn to the collective one by 12 * between / (12 * between + within). Ours is of logarithms: a fortieth apart."""
    values, factor = np.array(AVERAGES, dtype=float), 12 * BETWEEN / (12 * BETWEEN + WITHIN)
    premiums = factor * values.reshape(5, 12).mean(axis=1) + (1.0 - factor) * COLLECTIVE
    found = pooled_losses(claimed(np.arange(5).repeat(12), values), goods(5)).gross.mean(axis=0)
    np.testing.assert_allclose(found, premiums, rtol=0.025)


def test_many_claims_tell_what_a_quasi_likelihood_of_a_reference_library_tells() -> None:
    """statsmodels' log-linear model with its Pearson scale: the same ratio of two item types, as surely."""
    rng = np.random.default_rng(3)
    cells = np.arange(2).repeat(400)
    lost = np.where(cells == 0, 9_000.0, 15_000.0) * rng.gamma(2.0, 0.5, 800)
    found = pooled_losses(claimed(cells, lost), goods(2)).gross
    design = np.column_stack([np.ones(800), cells])
    referee = sm.GLM(lost / 20_000.0, design, family=sm.families.Poisson()).fit(scale="X2")
    logs = np.log(found[:, 1] / found[:, 0])
    assert logs.mean() == pytest.approx(referee.params[1], abs=0.02)
    assert logs.std() == pytest.approx(referee.bse[1], rel=0.2)


def heavy(rng: np.random.Generator, count: int) -> tuple[Losses, FloatArray]:
    """A shop whose few large losses make most of the whole, and what a loss truly costs in each cell."""
    own = goods(4, 2)
    true = (
        np.exp(rng.uniform(np.log(4_000), np.log(20_000), 4))[own.item_types] * rng.uniform(0.85, 1.15, 2)[own.methods]
    )
    cells = rng.integers(8, size=count)
    tail = 1.3
    lost = true[cells] * np.exp(rng.normal(-(tail**2) / 2, tail, count))
    return pooled_losses(claimed(cells, lost), own), true


def test_limits_hold_the_true_mean_where_the_tail_is_heavy() -> None:
    held = []
    for seed in range(100, 120):
        found, true = heavy(np.random.default_rng(seed), 40)
        low, high = limits(found.gross)
        held += list((low <= true) & (true <= high))
    # 160 cells, hardly independent of each other within a shop: of 60 such shops 93 in 100 are held.
    assert np.mean(held) >= 0.88


def test_a_heavier_tail_leaves_more_open() -> None:
    rng = np.random.default_rng(5)
    cells, calm = rng.integers(3, size=60), rng.uniform(0.9, 1.1, 60)
    wild = calm.copy()
    wild[:3] = 15.0
    (low, high), (wild_low, wild_high) = (
        limits(pooled_losses(claimed(cells, 10_000.0 * each), goods(3)).gross) for each in (calm, wild)
    )
    assert np.all(wild_high / wild_low > 2.0 * high / low)


def test_one_very_dear_claim_does_not_carry_its_cell_away() -> None:
    lost = np.full(80, 6_000.0)
    lost[0] = 400_000.0
    found = pooled_losses(claimed(np.arange(80) % 8, lost), goods(4, 2)).gross.mean(axis=0)
    own = (400_000.0 + 9 * 6_000.0) / 10
    assert found[0] < 0.6 * own
    assert found.mean() == pytest.approx(lost.mean(), rel=0.15)


def test_a_cell_without_claims_has_the_losses_of_its_like() -> None:
    rng = np.random.default_rng(2)
    own = goods(2, 2)
    cells = rng.choice([0, 1, 2], 120)
    lost = np.where(own.item_types[cells] == 0, 4_000.0, 16_000.0) * rng.gamma(20.0, 0.05, 120)
    found = pooled_losses(claimed(cells, lost), own).gross
    assert found[:, 3].mean() == pytest.approx(16_000.0, rel=0.15)
    assert found[:, 3].std() > found[:, 2].std()


def test_what_carriers_pay_is_taken_off_and_open_claims_do_not_tell_of_it() -> None:
    cells, lost = np.zeros(60, dtype=np.int64), np.full(60, 10_000.0)
    paid = np.where(np.arange(60) % 2 == 0, 10_000.0, 0.0)
    known = claimed(cells, lost, paid)
    half = pooled_losses(known, goods(1))
    assert half.recovered.mean() == pytest.approx(0.5, abs=0.03)
    assert half.net.mean() == pytest.approx(5_000.0, rel=0.08)
    unpaid = Claimed(cells, lost, np.where(np.arange(60) < 40, 0.0, paid), known.worth, np.arange(60) >= 40)
    assert pooled_losses(unpaid, goods(1)).recovered.mean() == pytest.approx(0.5, abs=0.06)
    assert half.recovered.max() <= 1.0


def test_a_claim_that_brings_more_than_was_lost_counts_for_all_that_it_brings() -> None:
    """Sixty losses of 10,000 or 2,000, each second of either paid with 10,000: 600,000 of 720,000 lost."""
    lost = np.where(np.arange(120) % 4 < 2, 10_000.0, 2_000.0)
    paid = np.where(np.arange(120) % 2 == 0, 10_000.0, 0.0)
    found = pooled_losses(claimed(np.zeros(120, dtype=np.int64), lost, paid), goods(1))
    assert found.recovered.mean() == pytest.approx(paid.sum() / lost.sum(), abs=0.04)


def test_nothing_decided_means_nothing_recovered_and_no_claim_no_loss() -> None:
    open_claims = Claimed(*(np.zeros(1, dtype=np.int64), *(np.full(1, 9_000.0),) * 3, np.zeros(1, dtype=bool)))
    assert pooled_losses(open_claims, goods(1)).recovered.tolist() == [[0.0]]
    none = pooled_losses(claimed(np.zeros(0, dtype=np.int64), np.zeros(0)), goods(3))
    assert none.net.tolist() == [[0.0, 0.0, 0.0]]


def test_a_single_claim_is_not_held_for_certain() -> None:
    low, high = limits(pooled_losses(claimed(np.array([0]), np.array([8_000.0])), goods(2)).gross)
    assert np.all(low < 5_000) and np.all(high > 12_000)


def test_goods_worth_twice_as_much_lose_twice_as_much() -> None:
    """Nothing else is known of the second item type than that it is worth the double."""
    dear = Goods(np.array([0, 1]), np.zeros(2, dtype=np.int64), np.array([10_000.0, 20_000.0]))
    rng = np.random.default_rng(8)
    lost = 10_000.0 * rng.uniform(0.5, 0.7, 50)
    found = pooled_losses(claimed(np.zeros(50, dtype=np.int64), lost, worth=10_000.0), dear).gross
    assert np.median(found[:, 1]) == pytest.approx(2.0 * np.median(found[:, 0]), rel=0.15)


def test_variance_by_mean_by_hand() -> None:
    """Four claims of 1, 3, 1, 3 around 2: squares sum to 4; four claims of a spread of a half count for 4 * 1. Of eight
    claims one is spent on the mean and two on the doubt: 8 / (4 - 1 + 4 - 2) = 1.6, over a mean of 2. The tail of the
    upper half is shorter: (ln(3) - ln(sqrt 3) ...) is less than that."""
    found = variance_by_mean(np.array([1.0, 3.0, 1.0, 3.0]), np.full(4, 2.0), np.zeros(4, dtype=np.int64), 0.5)
    assert found == pytest.approx(0.8)


def test_the_same_seed_gives_the_same_draws() -> None:
    cells, lost = np.array([0, 1, 1]), np.array([10.0, 20.0, 40.0])
    one, other = (pooled_losses(claimed(cells, lost), goods(2)).net for _ in range(2))
    np.testing.assert_array_equal(one, other)
