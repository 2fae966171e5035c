"""What a damaged parcel costs, net of recovery, per cell.

Few claims and a heavy tail make a cell's own mean unsteady. Losses are capped at a stated quantile of the shop's
claims; what the cap cut off is shared evenly among all claims, so no cent is lost. Cell means are then drawn towards
their item type's mean, and that towards the shop's, by credibility (H. Bühlmann, E. Straub, "Glaubwürdigkeit für
Schadensätze", Mitteilungen der Vereinigung schweizerischer Versicherungsmathematiker 70 (1970), 111-133), and at last
shifted by one amount so that claims times severity is again the shop's whole loss.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy import sparse

from models.damage.arrays import FloatArray, IntArray, floats, require_columns, sums

CAP_QUANTILE = 0.95
LEAST_CLAIMS = 5
# Standard deviation of one loss over the mean loss: common practice, no source.
UNSEEN_SPREAD = 0.5
BLOCK = 400_000  # weights drawn at once: they stay in the processor's cache
CLAIM_AMOUNTS = (
    *("claim_state", "claimed_cents", "paid_cents", "refund_cents"),
    *("replacement_cents", "return_cost_cents", "salvage_cents"),
)
STILL_OPEN = ("reported", "filed", "asked", "appealed")


@dataclass(frozen=True)
class Credibility:
    """mean: overall mean. within, between: variance components. weight, factor, estimate: shape (groups,);
    estimate = factor * the group's own mean + (1 - factor) * mean."""

    mean: float
    within: float
    between: float
    weight: FloatArray
    factor: FloatArray
    estimate: FloatArray


@dataclass(frozen=True)
class Severity:
    """Cents lost per damaged parcel. estimate: shape (cells,). draws: shape (draws, cells), for intervals and for
    models/damage/decision.py. cap_cents: loss above which a claim was capped. claims: shape (cells,)."""

    estimate: FloatArray
    draws: FloatArray
    claims: FloatArray
    cap_cents: float

    def interval(self, level: float = 0.95) -> tuple[FloatArray, FloatArray]:
        """Limits from the draws, shape (cells,) each."""
        tail = (1.0 - level) / 2.0
        low, high = np.quantile(self.draws, [tail, 1.0 - tail], axis=0)
        return low, high


def severity_cents(claims: pd.DataFrame, handling_cents: int = 0) -> pd.Series:
    """Net loss of each claim in cents: refund, replacement, return carriage and handling, less paid and salvage.

    Columns CLAIM_AMOUNTS; an unknown amount counts as nothing, but for the payment of a claim that is still open:
    there the share of claimed amounts that the carriers paid on decided claims is expected, rounded to the cent.
    """
    require_columns(claims, CLAIM_AMOUNTS, "claims")
    amount = {column: floats(claims[column]) for column in CLAIM_AMOUNTS if column.endswith("_cents")}
    is_open = (claims["claim_state"].isin(STILL_OPEN) & claims["paid_cents"].isna()).to_numpy(bool)
    expected = recovered_share(claims) * amount["claimed_cents"]
    paid = np.where(is_open, expected.round(), amount["paid_cents"])
    spent = amount["refund_cents"] + amount["replacement_cents"] + amount["return_cost_cents"] + handling_cents
    return pd.Series(spent - paid - amount["salvage_cents"], index=claims.index, name="severity_cents").astype("int64")


def recovered_share(claims: pd.DataFrame) -> float:
    """Paid cents over claimed cents of the claims already decided; nothing where none is decided."""
    decided = claims[claims["claim_state"].isin(("paid", "paid in part", "refused"))]
    claimed = floats(decided["claimed_cents"]).sum()
    return float(floats(decided["paid_cents"]).sum() / claimed) if claimed > 0 else 0.0


def credibility(values: FloatArray, weights: FloatArray, groups: IntArray, group_count: int) -> Credibility:
    """Bühlmann and Straub's unbiased estimators for values with weights in numbered groups.

    A group without values gets the overall mean. Where the spread between groups cannot be seen the factor is 0, and
    where nothing varies within groups but groups differ it is 1. No value at all gives zeros.
    """
    weight, mean = _means(values, weights, groups, group_count)
    within = _within(values, weights, groups, mean)
    between = _between(mean, weight, np.zeros(group_count, dtype=np.int64), within)
    factor = _factors(weight, within, between)
    by = factor if factor.sum() > 0 else weight
    overall = float((by * mean).sum() / by.sum()) if by.sum() > 0 else 0.0
    return Credibility(overall, within, between, weight, factor, factor * mean + (1.0 - factor) * overall)


def _means(values: FloatArray, weights: FloatArray, groups: IntArray, count: int) -> tuple[FloatArray, FloatArray]:
    weight, total = sums(groups, weights, count), sums(groups, weights * values, count)
    return weight, np.divide(total, weight, out=np.zeros(count), where=weight > 0)


def _within(values: FloatArray, weights: FloatArray, groups: IntArray, mean: FloatArray) -> float:
    freedom = values.size - np.unique(groups).size
    return float((weights * (values - mean[groups]) ** 2).sum() / freedom) if freedom > 0 else 0.0


def _between(mean: FloatArray, weight: FloatArray, parents: IntArray, within: float) -> float:
    """Variance of group means around their parents' means beyond what chance within groups explains."""
    parent_weight, parent_mean = _means(mean, weight, parents, int(parents.max(initial=-1)) + 1)
    freedom = np.count_nonzero(weight) - np.count_nonzero(parent_weight)
    square = sums(parents, weight**2, parent_weight.size)
    scale = weight.sum() - np.divide(square, parent_weight, out=np.zeros_like(square), where=parent_weight > 0).sum()
    if freedom < 1 or scale <= 0:
        return 0.0
    spread = float((weight * (mean - parent_mean[parents]) ** 2).sum())
    return max((spread - freedom * within) / float(scale), 0.0)


def _factors(weight: FloatArray, within: float, between: float) -> FloatArray:
    return np.divide(weight * between, weight * between + within, out=np.zeros_like(weight), where=weight * between > 0)


def shrink_severity(
    losses_cents: FloatArray,
    cells: IntArray,
    item_types: IntArray,
    *,
    cap_quantile: float = CAP_QUANTILE,
    draws: int = 1_000,
    seed: int = 0,
) -> Severity:
    """Severity of every cell from the loss of every claim.

    losses_cents, cells: shape (claims,), `cells` numbers each claim's cell. item_types: shape (cells,), numbers each
    cell's item type. A cell without claims gets its item type's mean, an item type without claims the shop's; no claim
    at all gives zeros. Draws are a seeded Bayesian bootstrap of the claims (D. B. Rubin, Annals of Statistics 9 (1981),
    130-134) with the cells' own spread around their item type added.
    """
    count = item_types.size
    claims = np.bincount(cells, minlength=count).astype(float)
    if losses_cents.size == 0:
        return Severity(np.zeros(count), np.zeros((draws, count)), claims, cap_cents=0.0)
    cap = float(np.quantile(losses_cents, cap_quantile))
    chain = _Chain.fitted(losses_cents, cap, cells, item_types)
    estimate = chain.estimate(np.ones((1, losses_cents.size)))[0]
    balance = (float(losses_cents.sum()) - float((claims * estimate).sum())) / losses_cents.size
    return Severity(estimate + balance, chain.draws(draws, seed) + balance, claims, cap)


@dataclass(frozen=True)
class _Chain:
    """Credibility factors of cells within item types within the shop; they stay fixed while claims are resampled."""

    capped: FloatArray
    excess: FloatArray
    by_cell: sparse.csr_array
    of_type: FloatArray
    item_types: IntArray
    cell_factor: FloatArray
    type_factor: FloatArray
    between_cells: float

    @classmethod
    def fitted(cls, losses: FloatArray, cap: float, cells: IntArray, item_types: IntArray) -> _Chain:
        capped, ones = np.minimum(losses, cap), np.ones_like(losses)
        weight, mean = _means(capped, ones, cells, item_types.size)
        within = _within(capped, ones, cells, mean)
        between = _between(mean, weight, item_types, within)
        types = int(item_types.max(initial=-1)) + 1
        by_type = credibility(capped, ones, item_types[cells], types)
        # Each claim counts once, and with its loss, so that one product gives a cell's weight and its total.
        rows, columns = np.tile(np.arange(losses.size), 2), np.concatenate([cells, cells + item_types.size])
        entries = np.concatenate([ones, capped])
        by_cell = sparse.csr_array((entries, (rows, columns)), shape=(losses.size, 2 * item_types.size))
        excess = np.maximum(losses - cap, 0.0)
        factors = _factors(weight, within, between), by_type.factor
        return cls(capped, excess, by_cell, np.eye(types)[item_types], item_types, *factors, between)

    def estimate(self, weights: FloatArray) -> FloatArray:
        """Shrunk cell means under each row of claim weights, shape (rows, cells)."""
        weight, total = np.hsplit(weights @ self.by_cell, 2)
        shop_weight = weights.sum(axis=1, keepdims=True)
        shop, cut_off = total.sum(axis=1, keepdims=True) / shop_weight, weights @ self.excess[:, None] / shop_weight
        type_mean = _ratio(total @ self.of_type, weight @ self.of_type)
        by_type = self.type_factor * type_mean + (1.0 - self.type_factor) * shop
        own = self.cell_factor * _ratio(total, weight)
        return np.asarray(cut_off + own + (1.0 - self.cell_factor) * by_type[:, self.item_types])

    def draws(self, count: int, seed: int) -> FloatArray:
        """Bootstrap draws with the cells' own spread around their item type, shape (count, cells)."""
        rng = np.random.default_rng(seed)
        rows = max(BLOCK // self.capped.size, 1)
        blocks = [min(rows, count - start) for start in range(0, count, rows)]
        resampled = [self.estimate(rng.standard_exponential((block, self.capped.size))) for block in blocks]
        own = np.sqrt(self.between_cells) * (1.0 - self.cell_factor)
        cell_noise = own * rng.standard_normal((count, self.item_types.size))
        common = self._unseen_spread() * rng.standard_normal((count, 1))
        return np.asarray(np.concatenate(resampled) + cell_noise + common)

    def _unseen_spread(self) -> float:
        """A handful of claims hides its own spread: below LEAST_CLAIMS, UNSEEN_SPREAD is added to every draw."""
        claims = self.capped.size
        mean = float((self.capped + self.excess).mean())
        return UNSEEN_SPREAD * abs(mean) / np.sqrt(claims) if claims < LEAST_CLAIMS else 0.0


def _ratio(total: FloatArray, weight: FloatArray) -> FloatArray:
    return np.divide(total, weight, out=np.zeros_like(total), where=weight > 0)
