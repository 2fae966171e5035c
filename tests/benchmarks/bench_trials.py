"""Whether trials at the bench hold over all looks, on benches that nobody planted: `python -m tests.benchmarks trials`.

Benches are drawn week by week: a season that both methods share, weeks that are better or worse than others, parcels
that break together, claims that come up to four months late. The two methods take turns by week, or share each week as
sales fall. At each month end, and a month after the last day, the program's own functions judge what had been reported
by then.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.analyses.trials import look_by_week
from models.columns.changes import WORKED, WORSE
from models.columns.trials import BY_SALE, BY_WEEK
from models.damage.arrays import IntArray
from models.damage.change import Look, judge_change
from models.damage.trials import parcels_needed

Row = tuple[str, float, float]
FIRST, LATE_WEEKS = pd.Timestamp("2027-01-04"), 18
# Share of claims reported by the end of the week of shipping and of the weeks after it.
REPORTED = np.interp(np.arange(LATE_WEEKS), [0, 1, 2, 4, 8, 13, 17], [0.05, 0.15, 0.3, 0.55, 0.85, 0.98, 1.0])


@dataclass(frozen=True)
class Kind:
    """A kind of bench. weeks: length of the trial. parcels: a week, on average. rate: share of them that break.
    noise: variation of weeks, as a share of the rate. together: parcels that share a fate. effect: damage with the
    method tried, of that with the usual one."""

    weeks: int = 26
    parcels: float = 60.0
    rate: float = 0.04
    noise: float = 0.0
    together: int = 1
    assigned_by: str = BY_WEEK
    effect: float = 1.0


ALIKE = {
    "weeks alike": Kind(),
    "weeks alike, a year": Kind(weeks=52),
    "weeks that vary by a third": Kind(noise=0.3),
    "weeks that vary by a third, a year": Kind(weeks=52, noise=0.3),
    "weeks that vary by a third, many parcels": Kind(parcels=300.0, rate=0.03, noise=0.3),
    "weeks that vary by three fifths, many parcels": Kind(parcels=300.0, rate=0.03, noise=0.6),
    "weeks that vary by three fifths, four months": Kind(weeks=17, parcels=300.0, rate=0.03, noise=0.6),
    "parcels that break by threes, many": Kind(parcels=300.0, rate=0.03, together=3),
    "parcels that break by threes, a year": Kind(weeks=52, together=3),
    "parcels that break by threes, by sale": Kind(together=3, assigned_by=BY_SALE),
    "weeks that vary by three fifths, by sale": Kind(parcels=300.0, rate=0.03, noise=0.6, assigned_by=BY_SALE),
}
# As many parcels as a trial is said to need, which shall find a halving in four of five.
SIZED = 30
ENOUGH = float(parcels_needed(Kind.rate, 0.5) or 0) / SIZED
HALVED = {
    "by sale": Kind(weeks=SIZED, parcels=ENOUGH, effect=0.5, assigned_by=BY_SALE),
    "by week": Kind(weeks=SIZED, parcels=ENOUGH, effect=0.5),
}


def run(trials: int = 1_000) -> Iterator[Row]:
    """All kinds; five minutes of one core. Of 1,000 trials the share that is wrong is known to seven tenths of a
    point."""
    for name, kind in ALIKE.items():
        shown = [verdict(kind, seeded(at, name)) for at in range(trials)]
        wrong = shown.count(WORKED) + shown.count(WORSE)
        yield f"no difference, {name}: one said to break less, of {trials} trials", wrong / trials, 0.05
    for name, kind in HALVED.items():
        shown = [verdict(kind, seeded(at, name)) for at in range(trials)]
        yield (
            f"halved, {name}, parcels as needed: not found, of {trials} trials",
            1.0 - shown.count(WORKED) / trials,
            0.2,
        )
        yield f"halved, {name}, parcels as needed: said to break more", shown.count(WORSE) / trials, 0.025


def seeded(at: int, name: str) -> np.random.Generator:
    return np.random.default_rng([at, *name.encode()])


def verdict(kind: Kind, rng: np.random.Generator) -> str:
    seen = looks(kind, rng)
    return judge_change(seen, planned=len(seen)).verdict


def looks(kind: Kind, rng: np.random.Generator) -> list[Look | None]:
    """What each month end knows of one trial."""
    parcels, lates, is_tried = drawn(kind, rng)
    starts = FIRST + pd.to_timedelta(7 * np.arange(kind.weeks), unit="D")
    ends = pd.date_range(FIRST, starts[-1] + pd.DateOffset(months=1, days=6), freq="ME")
    return [look_by_week(_known(parcels, lates, is_tried, starts, end), kind.assigned_by) for end in ends]


def drawn(kind: Kind, rng: np.random.Generator) -> tuple[IntArray, IntArray, IntArray]:
    """Parcels, claims by weeks late, and whether the method is the one tried: shape (methods, weeks, ...)."""
    weeks = np.arange(kind.weeks)
    is_tried = np.array([[0], [1]]).repeat(kind.weeks, axis=1)
    shares = np.full(is_tried.shape, 0.5) if kind.assigned_by == BY_SALE else (weeks + rng.integers(2)) % 2 == is_tried
    parcels = kind.together * rng.poisson(kind.parcels / kind.together * shares)
    season = np.exp(0.25 * np.sin(2.0 * np.pi * (weeks / 52.0 + rng.random())))
    own = rng.gamma(1.0 / max(kind.noise, 1e-3) ** 2, max(kind.noise, 1e-3) ** 2, kind.weeks)
    chance = (kind.rate * season * own * np.where(is_tried, kind.effect, 1.0)).clip(0.0, 0.9)
    claims = kind.together * rng.binomial(parcels // kind.together, chance)
    return parcels, rng.multinomial(claims, np.diff(REPORTED, prepend=0.0)), is_tried


def _known(
    parcels: IntArray, lates: IntArray, is_tried: IntArray, starts: pd.DatetimeIndex, end: pd.Timestamp
) -> pd.DataFrame:
    """What is reported by that day, of weeks that had ended by then."""
    age = (end - starts).days.to_numpy() // 7 - 1
    own = (parcels > 0) & (age >= 0)
    reported = (lates * (np.arange(LATE_WEEKS) <= age[:, None])).sum(axis=2)
    exposure = parcels * REPORTED[age.clip(0, LATE_WEEKS - 1)]
    months = starts.to_numpy().astype("datetime64[M]")
    week, month = (np.broadcast_to(each, parcels.shape)[own] for each in (starts.to_numpy(), months))
    columns = {"claims": reported[own].astype(float), "exposure": exposure[own], "is_tried": is_tried[own] == 1}
    return pd.DataFrame({"month": month, "week": week, **columns})
