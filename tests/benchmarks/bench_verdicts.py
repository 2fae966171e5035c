"""Whether verdicts on changes hold over all looks, on shops that nobody planted: `python -m tests.benchmarks verdicts`.

Shops of eight item types are drawn month by month: a year before the change and two years after it, with a season that
all goods share, rates of their own, and claims that come one to four months late. They are changed as shops change
things: planned; because the goods were the worst of eight; because the last month had twice the usual claims. At each
of the 24 month ends the program's own functions judge what had been reported by then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.columns.changes import BAD_MONTH, NO_EFFECT, PLANNED, WORKED, WORSE, WORST
from models.damage.arrays import BoolArray, FloatArray, IntArray
from models.damage.change import REACH, Look, drawn_before, judge_change, look_at
from models.damage.dispersion import dispersion
from models.damage.rates import fit_beta_binomial

Row = tuple[str, float, float]
TYPES, BEFORE, MONTHS, LEFT_OUT = 8, 12, 24, 3
# Share of claims reported by the end of the month of shipping and of the three after it.
REPORTED = np.array([0.35, 0.75, 0.93, 1.0])


@dataclass(frozen=True)
class Kind:
    """A kind of shop. parcels: of each item type in a month, from and to. spread: of the rates of item types, in
    logarithms. effect: what the change does to damage. reason: what led to it. noise: variation of an item type's own
    months, as a share of the rate. has_control: whether other item types are left alone. together: parcels that
    share a fate."""

    parcels: tuple[float, float] = (20.0, 120.0)
    spread: float = 0.5
    effect: float = 1.0
    reason: str = PLANNED
    noise: float = 0.0
    has_control: bool = True
    together: int = 1


@dataclass(frozen=True)
class Known:
    """What is known at a look: claims and exposure by item type and month, and which months are after the change."""

    claims: FloatArray
    exposure: FloatArray
    is_after: BoolArray

    def of(self, own: BoolArray) -> Known:
        """Of these item types alone."""
        return Known(self.claims[own], self.exposure[own], self.is_after)

    def sums(self) -> FloatArray:
        """Claims and exposure after and before by item type: shape (4, types)."""
        sides = self.is_after, ~self.is_after
        return np.stack([rows[:, side].sum(axis=1) for side in sides for rows in (self.claims, self.exposure)])


WITHOUT_EFFECT = {
    "planned": Kind(),
    "planned, small shops": Kind(parcels=(5.0, 30.0)),
    "planned, large shops": Kind(parcels=(500.0, 3_000.0)),
    "planned, nothing to compare with": Kind(has_control=False),
    "months that vary by a fifth": Kind(noise=0.2),
    "months that vary by a fifth, large shops": Kind(parcels=(500.0, 3_000.0), noise=0.2),
    "parcels that break by fours": Kind(parcels=(80.0, 480.0), together=4),
    "parcels that break by fours, nothing to compare with": Kind((80.0, 480.0), together=4, has_control=False),
    "the worst of eight": Kind(reason=WORST),
    "the worst of eight that are alike": Kind(reason=WORST, spread=0.0),
    "a bad month": Kind(reason=BAD_MONTH),
}


def run(shops: int = 2_000) -> Iterator[Row]:
    """All kinds; five minutes of one core. Of 2,000 shops the share that is wrong is known to half a point."""
    for name, kind in WITHOUT_EFFECT.items():
        shown = [judged(looks(kind, seeded(at, name)))[0] for at in range(shops)]
        wrong = shown.count(WORKED) + shown.count(WORSE)
        yield f"no effect, {name}: called better or worse in 24 looks, of {shops} shops", wrong / shops, 0.05
    yield from halvings(shops)


def halvings(shops: int) -> Iterator[Row]:
    """Power, wrong verdicts, and whether the effect shown keeps its word where the verdict is worked."""
    for name, kind in {"halved": Kind(effect=0.5), "halved, large shops": Kind((200.0, 600.0), effect=0.5)}.items():
        found = [judged(looks(kind, seeded(at, name))) for at in range(shops)]
        shown = [verdict for verdict, _ in found]
        at_the_end = sum(is_better for _, is_better in found)
        yield (
            f"{name}: one look at the end finds so many times what 24 looks find",
            at_the_end / shown.count(WORKED),
            1.25,
        )
        yield f"{name}: called worse or without effect", (shown.count(WORSE) + shown.count(NO_EFFECT)) / shops, 0.05


def seeded(at: int, name: str) -> np.random.Generator:
    return np.random.default_rng([at, *name.encode()])


def judged(seen: list[Look | None]) -> tuple[str, bool]:
    """The verdict over all looks, and whether one look at the end alone would call the change better."""
    last = seen[-1]
    is_better = last is not None and last.ratio(-REACH, REACH).high < 1.0 and last.claims_expected >= 5.0
    return judge_change(seen, planned=MONTHS).verdict, is_better


def looks(kind: Kind, rng: np.random.Generator) -> list[Look | None]:
    """What each month end after the change knows of one shop."""
    months = BEFORE + MONTHS
    rate = rng.uniform(0.01, 0.05) * np.exp(rng.normal(0.0, kind.spread, TYPES))[:, None]
    season = np.exp(0.2 * np.sin(2.0 * np.pi * (np.arange(months) / 12.0 + rng.random())))
    parcels = rng.poisson(rng.uniform(*kind.parcels, TYPES)[:, None], (TYPES, months))
    own = rng.gamma(1.0 / max(kind.noise, 1e-3) ** 2, max(kind.noise, 1e-3) ** 2, (TYPES, months))
    chance = (rate * season * own).clip(0.0, 0.9)
    claims = kind.together * rng.binomial(parcels // kind.together, chance)
    chosen = _chosen(kind, claims, parcels, chance, rng)
    later = claims[chosen, BEFORE:].copy()
    claims[chosen, BEFORE:] = rng.binomial(later, kind.effect) if kind.effect < 1.0 else later
    lates = rng.multinomial(claims, np.diff(REPORTED, prepend=0.0))
    first = LEFT_OUT if kind.reason == BAD_MONTH else 0
    return _told(kind, [_known(lates, parcels, month, BEFORE - first) for month in range(BEFORE, months)], chosen)


def _known(lates: IntArray, parcels: IntArray, month: int, until: int) -> Known:
    """What is reported by the end of that month."""
    months, age = np.arange(month + 1), month - np.arange(month + 1)
    reported = (lates[:, : month + 1] * (np.arange(REPORTED.size) <= age[:, None])).sum(axis=2)
    exposure = parcels[:, : month + 1] * REPORTED[age.clip(0, REPORTED.size - 1)]
    own = (months >= BEFORE) | (months < until)
    return Known(reported[:, own].astype(float), exposure[:, own], months[own] >= BEFORE)


def _told(kind: Kind, known: list[Known], chosen: int) -> list[Look | None]:
    is_chosen = np.arange(TYPES) == chosen
    prior = fit_beta_binomial(*known[0].sums()[2:]) if kind.reason == WORST else None
    judged = is_chosen | kind.has_control
    return [_look(each.of(judged), is_chosen[judged], prior) for each in known]


def _look(known: Known, is_chosen: BoolArray, prior: tuple[float, float] | None) -> Look | None:
    a, n, b, m = known.sums()
    b, m = (b, m) if prior is None else drawn_before(b, m, is_chosen, prior)
    item, month = (each.ravel() for each in np.indices(known.claims.shape))
    sides, times = 2 * item + known.is_after[month], () if is_chosen.all() else (month,)
    found = dispersion(known.claims.ravel(), known.exposure.ravel(), sides, *times)
    rows = {"stratum": np.arange(a.size), "claims_a": a, "exposure_a": n, "claims_b": b, "exposure_b": m}
    return look_at(
        pd.DataFrame(
            rows
            | {
                "is_changed": is_chosen,
                "effect_a": found.effects[1::2],
                "effect_b": found.effects[::2],
                "freedom": found.freedom_of_error,
            }
        )
    )


def _chosen(kind: Kind, claims: IntArray, parcels: IntArray, chance: FloatArray, rng: np.random.Generator) -> int:
    """The item type that is changed; for a bad month, one whose last month is drawn until it had twice the usual."""
    before = claims[:, :BEFORE]
    if kind.reason == WORST:
        return int((before.sum(axis=1) / parcels[:, :BEFORE].sum(axis=1)).argmax())
    usual = chance[0, BEFORE - 1] * parcels[0, BEFORE - 1]
    for _ in range(1_000 if kind.reason == BAD_MONTH else 0):
        if claims[0, BEFORE - 1] >= 2.0 * usual:
            break
        claims[0, BEFORE - 1] = rng.binomial(parcels[0, BEFORE - 1], chance[0, BEFORE - 1])
    return 0
