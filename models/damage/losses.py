"""What a damaged parcel costs: the share of the goods' worth that is lost, less the share that carriers pay back.

Both shares are sums over sums: cents lost over cents of worth, cents paid over cents lost. They are pooled over item
types and packing methods as damage rates are (models/damage/pooled.py): what few claims tell is drawn towards its like.
A sum of cents varies more than a count of parcels: the variance of a claim by its mean says what a cent counts for (R.
W. M. Wedderburn, "Quasi-likelihood functions, generalized linear models, and the Gauss-Newton method", Biometrika 61
(1974), 439-447). Few claims of a heavy tail hide its length: it is taken to be at least that of a lognormal
distribution with the upper half of the claims.

`severity_cents` and `lost_cents` are what each claim cost, with and without what the carrier pays.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import norm

from models.damage.arrays import BoolArray, FloatArray, IntArray, floats, require_columns, sums
from models.damage.laplace import Design
from models.damage.pooled import pooled

CLAIM_AMOUNTS = ("claim_state", "claimed_cents", "paid_cents", "claim_cost_cents")
STILL_OPEN = ("reported", "filed", "asked", "appealed")


def severity_cents(claims: pd.DataFrame, handling_cents: int = 0) -> pd.Series:
    """Net loss of each claim in cents: what it cost and handling, less what the carrier paid.

    Columns CLAIM_AMOUNTS; an unknown amount counts as nothing, but for the payment of a claim that is still open:
    there the share of claimed amounts that the carriers paid on decided claims is expected, rounded to the cent.
    """
    require_columns(claims, CLAIM_AMOUNTS, "claims")
    expected = recovered_share(claims) * floats(claims["claimed_cents"])
    paid = np.where(is_open(claims), expected.round(), floats(claims["paid_cents"]))
    return (lost_cents(claims, handling_cents) - paid).rename(index="severity_cents").astype("int64")


def lost_cents(claims: pd.DataFrame, handling_cents: int = 0) -> pd.Series:
    """Loss of each claim in cents before the carrier pays: what it cost and handling."""
    require_columns(claims, CLAIM_AMOUNTS, "claims")
    return pd.Series(floats(claims["claim_cost_cents"]) + handling_cents, claims.index, name="lost_cents")


def is_open(claims: pd.DataFrame) -> BoolArray:
    """Whether it is not known yet what the carrier pays, of each claim."""
    return (claims["claim_state"].isin(STILL_OPEN) & claims["paid_cents"].isna()).to_numpy(bool)


def recovered_share(claims: pd.DataFrame) -> float:
    """Paid cents over claimed cents of the claims already decided; nothing where none is decided."""
    decided = claims[claims["claim_state"].isin(("paid", "paid in part", "refused"))]
    claimed = floats(decided["claimed_cents"]).sum()
    return float(floats(decided["paid_cents"]).sum() / claimed) if claimed > 0 else 0.0


# A share that may be above one is taken as so small a rate, at which the law of log odds is that of logarithms; around
# what it is thought to be.
RARE, HALF_LOST, HALF_PAID = 50.0, float(np.log(0.01)), 0.0
# How far logarithms of shares may be thought to differ from goods to goods and from method to method before anything is
# seen, by standard deviations; where the goods' worth is not known, of all that they cost. Common practice, no source.
USUAL = {"item_type": 0.5, "packing_method": 0.2}
USUAL_UNKNOWN = USUAL | {"item_type": 1.0}
# Standard deviation of one claim's share over its mean, which counts as so many claims before any is seen: of what is
# lost, and of what is paid, where a claim is paid or refused. Common practice, no source.
LOST_SPREAD, PAID_SPREAD, SPREAD_CLAIMS = 0.7, 1.0, 4.0
# The upper half of claims is measured from its middle to here.
UPPER = 0.8


@dataclass(frozen=True)
class Goods:
    """The cells that claims fall into. item_types, methods: number of each cell's, shape (cells,). worth: cents of a
    parcel's goods in each cell, its item type's mean, shape (cells,). is_known: whether it is known of all types."""

    item_types: IntArray
    methods: IntArray
    worth: FloatArray
    is_known: bool = True


@dataclass(frozen=True)
class Claimed:
    """Claims. cells: number of each one's cell. lost, paid: cents lost before the carrier paid, and paid. worth: cents
    of the parcel's goods. is_settled: whether it is known what the carrier pays. All shape (claims,)."""

    cells: IntArray
    lost: FloatArray
    paid: FloatArray
    worth: FloatArray
    is_settled: BoolArray


@dataclass(frozen=True)
class Losses:
    """Draws of cents lost on a damaged parcel before carriers pay, and of the share of it that they pay: shape (draws,
    cells) each."""

    gross: FloatArray
    recovered: FloatArray

    @property
    def net(self) -> FloatArray:
        """What stays with the shop, shape (draws, cells)."""
        return np.asarray(self.gross * (1.0 - self.recovered))


def pooled_losses(claimed: Claimed, goods: Goods, seed: int = 1) -> Losses:
    """Losses of every cell; nothing where no claim is on record. A cell without claims has those of its like."""
    lost = _shares(claimed.lost, claimed.worth, claimed.cells, goods, LOST_SPREAD, RARE, seed)
    own = claimed.is_settled & (claimed.lost > 0)
    # A claim may bring more than was lost on it; all of them together are thought not to.
    paid = (claimed.paid[own], claimed.lost[own], claimed.cells[own])
    recovered = _shares(*paid, goods, PAID_SPREAD, 1.0, seed + 1)
    return Losses(lost * goods.worth, recovered)


def _shares(
    parts: FloatArray, wholes: FloatArray, cells: IntArray, goods: Goods, spread: float, rare: float, seed: int
) -> FloatArray:
    """Draws of the parts' sum over the wholes' sum of every cell, shape (draws, cells); nothing where nothing is a
    part of anything. rare: one where no share is above one."""
    count = goods.item_types.size
    if parts.sum() <= 0:
        return np.zeros((1, count))
    # In worths of the item type's goods: a claim on expensive goods counts for no more than one on cheap ones.
    parts, wholes = (each / goods.worth[cells] for each in (parts, wholes))
    levels = {"item_type": goods.item_types, "packing_method": goods.methods}
    sizes = tuple(int(level.max()) + 1 for level in levels.values())
    at_most = rare * sums(cells, wholes, count)
    design = Design(
        np.clip(sums(cells, parts, count), 0.0, at_most), levels, sizes, HALF_LOST if rare > 1.0 else HALF_PAID
    )
    # What is paid in full varies no more: the variance of a share is in proportion to what is left of one.
    left = max(1.0 - float(parts.sum() / wholes.sum()) / rare, 0.01)
    weight = left / variance_by_mean(parts, wholes, goods.item_types[cells], spread, has_tail=rare > 1.0)
    usual = USUAL if goods.is_known or rare == 1.0 else USUAL_UNKNOWN
    drawn = pooled(design, [at_most], weight=weight, usual=usual, seed=seed)
    return rare * drawn.rates(levels, np.ones(count), np.arange(count))


def variance_by_mean(
    parts: FloatArray, wholes: FloatArray, item_types: IntArray, spread: float, *, has_tail: bool = True
) -> float:
    """Variance of one claim's part over its mean, claims of an item type around that type's own share. `spread` counts
    as SPREAD_CLAIMS claims. has_tail: whether a claim may be many times the usual one. All shape (claims,)."""
    types = int(item_types.max()) + 1
    by_type = sums(item_types, parts, types) / sums(item_types, wholes, types).clip(1e-9)
    usual, mean = wholes * by_type[item_types], float(parts.mean())
    free = parts.size - np.unique(item_types).size + SPREAD_CLAIMS
    seen = (((parts - usual) ** 2).sum() + SPREAD_CLAIMS * (spread * mean) ** 2) / (free - 2.0)
    tail = _tail(parts[usual > 0] / usual[usual > 0]) * float((usual**2).mean()) if has_tail else 0.0
    return float(max(seen, tail) / mean)


def _tail(ratios: FloatArray) -> float:
    """Variance over squared mean of a lognormal distribution with the upper half of these."""
    above = ratios[ratios > 0]
    if above.size == 0:
        return 0.0
    middle, upper = np.log(np.quantile(above, (0.5, UPPER)))
    return float(np.expm1(((upper - middle) / norm.ppf(UPPER)) ** 2))
