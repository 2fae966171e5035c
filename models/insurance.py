"""Insure, or carry it oneself: what a rule (insure from this worth, fragile goods only) would have cost and brought.

Going back over parcels that were sent. A rule costs the premium of every parcel that it covers. It brings what carriers
pay more on insured parcels than on others, of what was lost on the parcels covered: the share that they pay is
reckoned from all decided claims, insured ones and others apart.

Uncertainty: a compound Poisson model, parcels as they were sent. The number of claims to expect is a gamma draw
(Jeffreys' prior, claims + 1/2), the mean loss and both shares paid are Bayesian bootstrap draws (D. B. Rubin, "The
Bayesian Bootstrap", Annals of Statistics 9 (1981), 130-134), with as much weight as one claim on what is known before
any: a loss of the goods' mean worth; a share of nothing and of all. Aggregate losses as number times size: H. H.
Panjer, G. E. Willmot, "Insurance Risk Models" (1992), chapter 6 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

Draws = npt.NDArray[np.float64]
# From these worths on, in the smallest unit of the currency: the bands of core.insured_parcels.
WORTHS = (0, 5_000, 10_000, 20_000, 30_000, 50_000, 100_000)
# Below so many decided claims of each kind, or claims of the rule's parcels, the rule is told as resting on few; a band
# with fewer premiums takes the line through all bands (common practice, no source).
FEW = 10
DRAWS, SEED, TAIL = 4_000, 20_261_129, 0.025
PRIOR = 0.5


@dataclass(frozen=True)
class Rule:
    """Insure every parcel whose goods are worth so much or more, or only those with fragile goods."""

    least_worth_cents: int
    is_fragile_only: bool

    def covers(self, rows: pd.DataFrame) -> pd.DataFrame:
        """The rows of parcels that it covers."""
        wanted = rows["worth_from_cents"] >= self.least_worth_cents
        return rows[wanted & (rows["has_fragile"].astype(bool) | (not self.is_fragile_only))]


@dataclass(frozen=True)
class Paid:
    """Shares that carriers paid of what was lost, a decided claim each: of insured parcels and of others."""

    insured: Draws
    other: Draws

    @property
    def are_known(self) -> bool:
        """Whether claims of both kinds were decided."""
        return bool(len(self.insured) and len(self.other))

    @property
    def are_few(self) -> bool:
        """Whether either is based on few claims."""
        return min(len(self.insured), len(self.other)) < FEW


def rules() -> Iterator[Rule]:
    """Every rule that is tried."""
    for is_fragile_only in (False, True):
        for worth in WORTHS:
            yield Rule(worth, is_fragile_only)


def paid_shares(claims: pd.DataFrame) -> Paid:
    """From decided claims with a loss: is_insured, is_claim_decided, lost_cents, paid_cents."""
    known = claims[claims["is_claim_decided"].astype(bool) & (claims["lost_cents"] > 0)]
    shares = (known["paid_cents"] / known["lost_cents"]).clip(0, 1).to_numpy(np.float64)
    is_insured = known["is_insured"].to_numpy(bool)
    return Paid(shares[is_insured], shares[~is_insured])


def premium_rates(cells: pd.DataFrame) -> pd.Series[float]:
    """Premium over worth by band of worth; empty where no premium is on record.

    A band with premiums enough has its own. Others have what a straight line through the bands says at their mean
    worth, and never less than nothing: carriers often ask nothing up to a worth that is included.
    """
    billed = cells[cells["is_insured"].astype(bool) & (cells["premium_cents"] > 0)]
    if billed.empty:
        return pd.Series(dtype=np.float64)
    names = ["parcel_count", "premium_cents", "worth_cents"]
    bands, every = (rows.groupby("worth_from_cents")[names].sum() for rows in (billed, cells))
    usual = (every["worth_cents"] / every["parcel_count"]).clip(lower=1)
    lined = np.maximum(_line(bands)(usual), 0.0) / usual
    own = (bands["premium_cents"] / bands["worth_cents"]).where(bands["parcel_count"] >= FEW)
    return own.reindex(usual.index).fillna(lined)


def _line(bands: pd.DataFrame) -> np.poly1d:
    """Premium of a parcel by its worth: least squares through the bands' means; of one band in proportion."""
    count = bands["parcel_count"].to_numpy(np.float64)
    worth, premium = (bands[name].to_numpy(np.float64) / count for name in ("worth_cents", "premium_cents"))
    if len(bands) < 2:
        return np.poly1d([float(premium[0] / worth[0]), 0.0])
    return np.poly1d(np.polyfit(worth, premium, 1, w=np.sqrt(count)))


def reckoned(cells: pd.DataFrame, claims: pd.DataFrame) -> pd.DataFrame:
    """A row per rule that covers a parcel; none where no premium is on record.

    cells: worth_from_cents, has_fragile, is_insured, parcel_count, worth_cents, premium_cents. claims: a row per parcel
    claimed, with its band, and as for `paid_shares`.
    """
    rates, paid = premium_rates(cells), paid_shares(claims)
    covered = [(rule, rule.covers(cells), rule.covers(claims)) for rule in rules()] if len(rates) else []
    return pd.DataFrame([_row(rule, own, lost, rates, paid) for rule, own, lost in covered if len(own)])


def _row(
    rule: Rule, cells: pd.DataFrame, claims: pd.DataFrame, rates: pd.Series[float], paid: Paid
) -> dict[str, object]:
    premium = float((cells["worth_cents"] * cells["worth_from_cents"].map(rates)).sum())
    lost = claims["lost_cents"].to_numpy(np.float64)
    known: dict[str, object] = dict.fromkeys(("brought_cents", "net_cents", "net_low_cents", "net_high_cents"))
    if paid.are_known:
        brought = float(lost.sum()) * float(paid.insured.mean() - paid.other.mean())
        low, high = np.quantile(_drawn(cells, lost, paid) - premium, [TAIL, 1 - TAIL])
        figures = (brought, round(brought) - round(premium), low, high)
        known = {name: round(each) for name, each in zip(known, figures, strict=True)}
    return {
        "least_worth_cents": rule.least_worth_cents,
        "is_fragile_only": rule.is_fragile_only,
        "parcel_count": int(cells["parcel_count"].sum()),
        "premium_cents": round(premium),
        "claim_count": len(claims),
        "lost_cents": int(lost.sum()),
        "decided_insured_count": len(paid.insured),
        "decided_other_count": len(paid.other),
        "is_too_few": paid.are_few or len(claims) < FEW,
        **known,
    }


def _drawn(cells: pd.DataFrame, lost: Draws, paid: Paid) -> Draws:
    """What the rule brings, drawn: claims to expect, times their mean loss, times the share that insurance adds."""
    chance = np.random.default_rng(SEED)
    usual = float(cells["worth_cents"].sum()) / float(cells["parcel_count"].sum())
    number = chance.gamma(len(lost) + PRIOR, size=DRAWS)
    size = _mean(chance, np.append(lost, usual), np.append(np.ones(len(lost)), 1.0))
    insured, other = (_share(chance, each) for each in (paid.insured, paid.other))
    drawn: Draws = number * size * (insured - other)
    return drawn


def _share(chance: np.random.Generator, seen: Draws) -> Draws:
    return _mean(chance, np.append(seen, [0.0, 1.0]), np.append(np.ones(len(seen)), [PRIOR, PRIOR]))


def _mean(chance: np.random.Generator, values: Draws, weights: Draws) -> Draws:
    """The Bayesian bootstrap of a mean: each value with a gamma weight."""
    drawn = chance.gamma(weights, size=(DRAWS, len(weights)))
    mean: Draws = drawn @ values / drawn.sum(axis=1)
    return mean
