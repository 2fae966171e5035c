"""Insure, or carry it oneself: what a rule (insure from this worth, fragile goods only) would have cost and brought.

Going back over parcels that were sent. A rule costs the premium of every parcel that it covers. It brings what carriers
pay more on insured parcels than on others, of what was lost on the parcels covered: the share that they pay is
reckoned from all decided claims, insured ones and others apart.

Uncertainty: a compound Poisson model, parcels as they were sent. Each claim has a gamma weight of mean one, the same
for every rule that covers it: weights add up to a draw of the number of claims, and over their sum they are a draw of
the Bayesian bootstrap (D. B. Rubin, "The Bayesian Bootstrap", Annals of Statistics 9 (1981), 130-134). Both shares paid
are such draws too. What is known before any claim weighs half a claim: a loss of the goods' mean worth (Jeffreys' prior
of the number); a share of nothing and of all. Aggregate losses as number times size: H. H. Panjer, G. E. Willmot,
"Insurance Risk Models" (1992), chapter 6 (from memory).

The best of several rules looks better than it is. So intervals are of all rules together: in 95 of 100 draws each rule
lies within its own (J. Besag, P. Green, D. Higdon, K. Mengersen, "Bayesian Computation and Stochastic Systems",
Statistical Science 10 (1995), section 6.3: simultaneous credible regions by order statistics; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from models.analyses.question import Question, answer

READS = ("insurance_cells", "insured_claims")
WRITES = ("analysis.insurance_rules",)
# By then most claims have come and most of them are decided (common practice, no source).
SETTLED_DAYS = 90
COUNTED = ("parcel_count", "worth_cents", "premium_cents")
Draws = npt.NDArray[np.float64]
# From these worths on, in the smallest unit of the currency: the bands of core.insured_parcels.
WORTHS = (0, 5_000, 10_000, 20_000, 30_000, 50_000, 100_000)
# Below so many decided claims of each kind, or claims of the rule's parcels, the rule is said to be based on few; a
# band with fewer premiums takes the line through all bands (common practice, no source).
FEW = 10
DRAWS, SEED, TOGETHER = 4_000, 20_261_129, 0.95
PRIOR = 0.5


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.insurance_rules: of parcels old enough for their claims to have come."""
    last = pd.Timestamp(question.as_of) - pd.Timedelta(days=SETTLED_DAYS)
    cells, claims = (rows[pd.to_datetime(rows["shipped_on"]) <= last] for rows in map(question.table, READS))
    by = ["worth_from_cents", "has_fragile", "is_insured"]
    summed = cells.groupby(by, as_index=False)[list(COUNTED)].sum()
    return {WRITES[0]: answer(WRITES[0], reckoned(summed, claims))}


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
    # Of goods that were sold for nothing no premium is a share of their worth.
    billed = cells[cells["is_insured"].astype(bool) & (cells["premium_cents"] > 0) & (cells["worth_cents"] > 0)]
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
    claimed, with its band, and as for `paid_shares`. Limits are of all rules together.
    """
    rates, paid = premium_rates(cells), paid_shares(claims)
    covered = [(rule, rule.covers(cells), rule.covers(claims)) for rule in rules()] if len(rates) else []
    rows = pd.DataFrame([_row(rule, own, lost, rates, paid) for rule, own, lost in covered if len(own)])
    if len(rows) and paid.are_known:
        brought = _drawn([(own, lost) for _, own, lost in covered if len(own)], claims, paid)
        low, high = limits(brought - rows["premium_cents"].to_numpy(np.float64))
        rows = rows.assign(net_low_cents=np.rint(low).astype(int), net_high_cents=np.rint(high).astype(int))
    return rows


def _row(
    rule: Rule, cells: pd.DataFrame, claims: pd.DataFrame, rates: pd.Series[float], paid: Paid
) -> dict[str, object]:
    premium = round(float((cells["worth_cents"] * cells["worth_from_cents"].map(rates)).sum()))
    lost = float(claims["lost_cents"].sum())
    brought = round(lost * float(paid.insured.mean() - paid.other.mean())) if paid.are_known else None
    return {
        "least_worth_cents": rule.least_worth_cents,
        "is_fragile_only": rule.is_fragile_only,
        "parcel_count": int(cells["parcel_count"].sum()),
        "premium_cents": premium,
        "claim_count": len(claims),
        "lost_cents": int(lost),
        "decided_insured_count": len(paid.insured),
        "decided_other_count": len(paid.other),
        "is_too_few": paid.are_few or len(claims) < FEW,
        "brought_cents": brought,
        "net_cents": None if brought is None else brought - premium,
        "net_low_cents": None,
        "net_high_cents": None,
    }


def _drawn(covered: Sequence[tuple[pd.DataFrame, pd.DataFrame]], claims: pd.DataFrame, paid: Paid) -> Draws:
    """What each rule brings, drawn: draws x rules. covered: the cells and the claims of each."""
    chance = np.random.default_rng(SEED)
    before = chance.gamma(PRIOR, size=DRAWS)
    weights = chance.gamma(1.0, size=(DRAWS, len(claims)))
    insured, other = (_share(chance, each) for each in (paid.insured, paid.other))
    every = claims["lost_cents"].to_numpy(np.float64)
    lost = np.empty((DRAWS, len(covered)))
    for at, (cells, own) in enumerate(covered):
        usual = float(cells["worth_cents"].sum()) / float(cells["parcel_count"].sum())
        is_own = claims.index.isin(own.index)
        lost[:, at] = weights[:, is_own] @ every[is_own] + before * usual
    brought: Draws = lost * (insured - other)[:, None]
    return brought


def limits(drawn: Draws) -> tuple[Draws, Draws]:
    """The limits of each column within which TOGETHER of the draws lie in all columns at once.

    Each draw's outermost place in any column is found; the tail cut off on either side is such that so many draws stay
    within it everywhere. Of one column it is the plain interval.
    """
    count = len(drawn)
    place = drawn.argsort(axis=0, kind="stable").argsort(axis=0, kind="stable") / (count - 1)
    tail = float(np.quantile(np.minimum(place, 1 - place).min(axis=1), 1 - TOGETHER, method="lower"))
    low, high = np.quantile(drawn, [tail, 1 - tail], axis=0)
    return low, high


def _share(chance: np.random.Generator, seen: Draws) -> Draws:
    """Draws of the share paid: the Bayesian bootstrap of a mean."""
    weights = chance.gamma(np.append(np.ones(len(seen)), [PRIOR, PRIOR]), size=(DRAWS, len(seen) + 2))
    mean: Draws = weights @ np.append(seen, [0.0, 1.0]) / weights.sum(axis=1)
    return mean
