"""Alarms between reviews, tuned so that a quiet shop is seldom woken.

Claims: a cumulative sum per week, its limit found from the exact run length of the Markov chain (D. Brook, D. A. Evans,
Biometrika 59 (1972), 539-548). All scores lie on a lattice, so the chain is exact and not an approximation.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy import sparse
from scipy.sparse.linalg import spsolve
from scipy.stats import poisson

from models.damage.arrays import BoolArray, FloatArray, IntArray, require_columns
from models.errors import SettingsError

WEEKS_BETWEEN_FALSE_ALARMS = 200.0
RAISED = 2.0
# With many claims a week far less than a doubling matters: look for four standard deviations of a week's count.
MANY = 4.0
FINENESS = 40  # lattice points in the weekly allowance, at least
CANDIDATES = 8
# How far the weekly allowance may stray so that the limit meets the wished run length, as a share of its distance from
# the usual claims: were it to come near these, the sum would look for a far smaller rise and find the wished one later.
NEAR = 0.26
NEARNESS = 50  # a limit near another is sought in steps of so small a share of it
LEAST_SCORE = 20  # lattice points per claim, at least, where claims are few
# Where they are many, so many points per standard deviation of a week's count: the sum moves by whole claims anyway.
POINTS_PER_DEVIATION = 80
UNSEEN = 1e-12  # a week's count rarer than that is left out, on either side
ALARM = ("cause", "chart", "position")


@dataclass(frozen=True)
class CusumDesign:
    """A tuned cumulative sum. The score rises by claims x `claim_score` and falls by `allowance` per step; it never
    falls below zero and alarms above `limit`. All three count lattice points. run_length: mean steps to an alarm with
    nothing wrong. expected_claims: claims per step with nothing wrong.
    """

    claim_score: int
    allowance: int
    limit: int
    run_length: float
    expected_claims: float

    def increments(self, claims: FloatArray, expected: FloatArray | None = None) -> FloatArray:
        """Score of each step, shape (steps,). `expected` claims of each step stretch the allowance: a busy week may
        have more claims before it counts against the shop."""
        busy = 1.0 if expected is None else expected / self.expected_claims
        return np.asarray(claims * self.claim_score - self.allowance * busy, dtype=float)


def lattice_run_length(scores: IntArray, chances: FloatArray, limit: int) -> float:
    """Mean number of steps until a sum, kept at or above zero, goes above `limit`, from zero.

    scores, chances: the possible steps and their probabilities, shape (steps,) each; chances that are missing from one
    count as steps above the limit.
    """
    states = np.arange(limit + 1)
    target = np.maximum(states[:, None] + scores[None, :], 0)
    kept = target <= limit
    origin = np.broadcast_to(states[:, None], target.shape)[kept]
    weight = np.broadcast_to(chances[None, :], target.shape)[kept]
    moves = sparse.csc_matrix((weight, (origin, target[kept])), shape=(limit + 1, limit + 1))
    lengths = spsolve(sparse.identity(limit + 1, format="csc") - moves, np.ones(limit + 1))
    return float(np.atleast_1d(lengths)[0])


def _tuned(scores: IntArray, chances: FloatArray, wanted: float, near: int = 0) -> tuple[int, float]:
    """Least limit whose run length reaches `wanted`, and that run length. near: a limit that is not far from it."""

    def length(limit: int) -> float:
        return lattice_run_length(scores, chances, limit)

    low, high = _bracket(length, wanted, near or max(int(scores.max()), 1), is_near=near > 0)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if length(middle) < wanted else (low, middle)
    return high, length(high)


def _bracket(length: Callable[[int], float], wanted: float, first: int, *, is_near: bool) -> tuple[int, int]:
    """A limit that is too low, or zero, and one that is not."""
    step = max(first // NEARNESS, 1) if is_near else first
    low, high = 0, first
    while length(high) < wanted:
        low, high, step = high, high + step, step * 2
    while is_near and low == 0 and high > step and length(high - step) >= wanted:
        high, step = high - step, step * 2
    return (low or max(high - step, 0)), high


def design_weekly_cusum(
    expected_claims: float,
    weeks_between_false_alarms: float = WEEKS_BETWEEN_FALSE_ALARMS,
    *,
    raised: float | None = None,
) -> CusumDesign:
    """A cumulative sum of claims by week of report that looks for a `raised`-fold rise over `expected_claims` a week:
    a doubling, or less where claims are many (MANY).

    Expected claims come from parcels shipped, their usual rates and the reporting lag
    (models.damage.reporting_lags.expected_reports), so neither late claims nor a busy season raises a false alarm. From
    0.05 claims a week and 200 weeks on, the run length lies within an eighth above the wish; below, one claim more or
    less in the limit makes a greater difference.
    """
    raised = raised or min(RAISED, 1.0 + MANY / math.sqrt(max(expected_claims, 1.0)))
    _check(expected_claims, raised)
    reference = expected_claims * (raised - 1.0) / np.log(raised)
    least = min(LEAST_SCORE, math.ceil(POINTS_PER_DEVIATION / math.sqrt(expected_claims)))
    score = max(math.ceil(FINENESS / reference), least)
    fewest, most = poisson.ppf([UNSEEN, 1.0 - UNSEEN], expected_claims).astype(np.int64)
    claims = np.arange(fewest, most + 1)
    chances = poisson.pmf(claims, expected_claims)
    tuned: list[tuple[int, float, int]] = []
    for allowance in _allowances(score, reference, expected_claims):
        near = tuned[-1][0] if tuned else 0
        found = _tuned(claims * score - allowance, chances, weeks_between_false_alarms, near)
        tuned.append((*found, allowance))
    limit, length, allowance = min(tuned, key=lambda found: found[1])
    return CusumDesign(score, allowance, limit, length, expected_claims)


def _allowances(score: int, reference: float, expected_claims: float) -> list[int]:
    """Lattice points to try: near the reference, and without a common divisor, which would coarsen the lattice."""
    width = max(round(NEAR * score * (reference - expected_claims)), 2)
    middle = round(score * reference)
    free = [each for each in range(max(middle - width, 1), middle + width + 1) if math.gcd(score, each) == 1]
    return free[:: math.ceil(len(free) / CANDIDATES)]


def _check(rate: float, raised: float) -> None:
    if not 0.0 < rate < rate * raised < math.inf:
        raise SettingsError(
            "damage alarm",
            f"a usual rate of {rate:g} cannot grow {raised:g}-fold",
            "alarms on claims",
            "state a usual rate above zero and a growth above one",
        )


def cusum_path(increments: FloatArray, limit: float) -> tuple[FloatArray, IntArray]:
    """The sum after each step and the positions of alarms, where it goes above `limit`. After an alarm it begins again
    from zero. Shapes (steps,) and (alarms,)."""
    path, alarms, begin = np.empty(increments.size), [], 0
    while begin < increments.size:
        walk = np.cumsum(increments[begin:])
        kept = walk - np.minimum(np.minimum.accumulate(walk), 0.0)
        above = np.flatnonzero(kept > limit)
        end = begin + int(above[0]) + 1 if above.size else increments.size
        path[begin:end] = kept[: end - begin]
        alarms += [end - 1] if above.size else []
        begin = end
    return path, np.array(alarms, dtype=np.int64)


def one_alarm_per_cause(alarms: pd.DataFrame) -> pd.DataFrame:
    """Of the alarms (columns ALARM) the earliest of each cause, in order of position, with every chart that also gave
    the cause named in `charts`. A cause once reported is not reported again."""
    require_columns(alarms, ALARM, "alarms")
    ordered = alarms.sort_values(["position", "cause", "chart"], kind="stable")
    charts = ordered.groupby("cause")["chart"].agg(lambda names: ", ".join(sorted(set(names))))
    first = ordered.drop_duplicates("cause", ignore_index=True)
    return first.assign(charts=first["cause"].map(charts).astype(str))


def in_a_row(is_out: BoolArray) -> IntArray:
    """Positions where a run of signals begins: a state that lasts is one signal. Shape (runs,)."""
    before = np.concatenate([[False], is_out[:-1]])
    return np.flatnonzero(is_out & ~before)
