"""Whether the damage statistics keep their word: calibration by seeded simulation, alarms, and speed.

Each row is (what, measured, limit); measured must not exceed the limit. The claims, as stated to the user:
- Intervals of the pooled model cover the true rate of 95 % of a shop's cells, give or take 2 points, averaged over
  shops whose rates lie between 0.2 % and 5 % and whose cells hold 20 to 2,000 parcels. Not of every single cell: a cell
  far from its item type is drawn too close to it.
- Jeffreys intervals cover at least 93 % in every band of rate and size. Where hardly a claim is to be expected they
  cover more than 97 %: no interval on whole claims can do otherwise.
- The chance that a method is the cheapest is never overstated; doubtful cases are stated a little too carefully.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np

from models.columns.changes import NOT_SETTLED, WORKED, WORSE
from models.damage.alarms import cusum_path, design_weekly_cusum
from models.damage.arrays import BoolArray, FloatArray, floats
from models.damage.change import judge_change, look_of
from models.damage.decision import MethodCase, decide
from models.damage.laplace import Design
from models.damage.pooled import pooled
from models.damage.rates import jeffreys_interval
from models.damage.reporting_lags import LagCurve, expected_reports, reporting_lags

Row = tuple[str, float, float]
TODAY = np.datetime64("2026-11-30")
SHOPS, POOLED_SHOPS = 1_000, 200
TYPES, METHODS = 6, 3
ITEM_TYPES = np.arange(TYPES).repeat(METHODS)
RATE_EDGES = (0.002, 0.005, 0.01, 0.02, 0.05)
SIZE_EDGES = (20, 60, 200, 600, 2_000)


def run() -> list[Row]:
    """All measurements; one to two minutes of one core."""
    return [*coverage(), *late_claims(), *chances(), *verdicts(), *alarms(), *speed()]


def shop(rng: np.random.Generator) -> tuple[FloatArray, FloatArray, FloatArray]:
    """True rate, parcels and claims of each cell: item types from 0.2 % to 5 %, methods halving or doubling them."""
    by_type = np.exp(rng.uniform(np.log(RATE_EDGES[0]), np.log(RATE_EDGES[-1]), TYPES))[ITEM_TYPES]
    rate = np.clip(by_type * np.exp(rng.normal(0, 0.5, ITEM_TYPES.size)), RATE_EDGES[0], RATE_EDGES[-1])
    parcels = np.exp(rng.uniform(np.log(SIZE_EDGES[0]), np.log(SIZE_EDGES[-1]), ITEM_TYPES.size)).round()
    return rate, parcels, rng.binomial(parcels.astype(int), rate).astype(float)


def coverage() -> Iterator[Row]:
    rng = np.random.default_rng(1)
    shops = [shop(rng) for _ in range(SHOPS)]
    rates, sizes = (np.concatenate([each[side] for each in shops]) for side in (0, 1))
    pooled_limits = [limits_of(drawn_rates(claims, parcels)) for _, parcels, claims in shops[:POOLED_SHOPS]]
    held = np.concatenate([inside(rate, each) for (rate, _, _), each in zip(shops, pooled_limits, strict=False)])
    yield "pooled intervals, distance of coverage from 95 %", abs(held.mean() - 0.95), 0.02
    for low, high in pairwise(SIZE_EDGES):
        band = (sizes[: held.size] >= low) & (sizes[: held.size] < high)
        yield f"pooled intervals, misses at {low}-{high} parcels", 1 - held[band].mean(), 0.07
    plain = np.concatenate([inside(rate, jeffreys_interval(claims, parcels)) for rate, parcels, claims in shops])
    yield from by_band(rates, sizes, plain)
    many = rates * sizes >= 5
    yield "Jeffreys, 5 and more claims to be expected, distance from 95 %", abs(plain[many].mean() - 0.95), 0.02


def drawn_rates(claims: FloatArray, parcels: FloatArray) -> FloatArray:
    """Draws of every cell's rate by the pooled model of item type, method and the two together."""
    cells = np.arange(claims.size)
    levels = {"item_type": ITEM_TYPES, "packing_method": cells % METHODS, "pair": cells}
    known = Design(claims, levels, (TYPES, METHODS, cells.size))
    return pooled(known, [parcels], cells).rates(levels, parcels, cells)


def limits_of(rates: FloatArray) -> tuple[FloatArray, FloatArray]:
    low, high = np.quantile(rates, [0.025, 0.975], axis=0)
    return low, high


def inside(rate: FloatArray, limits: tuple[FloatArray, FloatArray]) -> BoolArray:
    return np.asarray((limits[0] <= rate) & (rate <= limits[1]), dtype=bool)


def by_band(rates: FloatArray, sizes: FloatArray, held: BoolArray) -> Iterator[Row]:
    for slow, fast in pairwise(RATE_EDGES):
        for small, large in pairwise(SIZE_EDGES):
            band = (rates >= slow) & (rates < fast) & (sizes >= small) & (sizes < large)
            name = f"Jeffreys, misses at {slow:.1%}-{fast:.1%}, {small}-{large} parcels"
            yield name, 1 - held[band].mean(), 0.07


def late_claims() -> Iterator[Row]:
    """Rate of the last 60 days in 200 shops of 30,000 parcels a year: raw and corrected, against the true 1.5 %."""
    raw, corrected = np.transpose([last_days(np.random.default_rng(seed)) for seed in range(200)])
    yield "corrected rate of the last 60 days, distance from the true one", abs(corrected.mean() / 0.015 - 1), 0.03
    yield "the same, uncorrected, as a share of the true one (must stay below)", raw.mean() / 0.015, 0.9


def last_days(rng: np.random.Generator) -> tuple[float, float]:
    ages, lags = rng.integers(0, 365, 30_000), rng.gamma(2.0, 10.0, 30_000).astype(np.int64)
    seen = (rng.random(30_000) < 0.015) & (lags <= ages) & (lags <= 120)
    curve = reporting_lags(TODAY - ages[seen], TODAY - ages[seen] + lags[seen], TODAY)
    fresh = ages < 60
    exposure = curve.share_reported(ages[fresh]).sum()
    return seen[fresh].sum() / fresh.sum(), seen[fresh].sum() / exposure


def chances() -> Iterator[Row]:
    """The stated chance that the best method is the cheapest, against whether it truly is."""
    rng = np.random.default_rng(2)
    stated, was = np.transpose([each for _ in range(200) for each in judged(rng)])
    yield "chance of cheapest, Brier score", float(np.mean((stated - was) ** 2)), 0.2
    edges = np.quantile(stated, [0, 0.2, 0.4, 0.6, 0.8, 1])
    bands = [(stated >= low) & (stated <= high) for low, high in pairwise(edges)]
    gaps = [stated[band].mean() - was[band].mean() for band in bands]
    yield "chance of cheapest, most that it was overstated in five bands", max(gaps), 0.03
    yield "chance of cheapest, most that it was understated in five bands", -min(gaps), 0.1


def judged(rng: np.random.Generator) -> Iterator[tuple[float, float]]:
    """Every item type of one shop: dearer methods by 40 and 80 cents, 9,000 to 11,000 cents a damaged parcel."""
    rate, parcels, claims = shop(rng)
    drawn = drawn_rates(claims, parcels)
    loss, postage = np.linspace(9_000, 11_000, 101), np.full(10, 1_500.0)
    extra = np.tile([0.0, 40.0, 80.0], TYPES)
    for start in range(0, ITEM_TYPES.size, METHODS):
        cells = range(start, start + METHODS)
        cases = [MethodCase(str(cell), extra[cell], 0.0, postage, drawn[:, cell], loss) for cell in cells]
        found = decide(cases, current=str(start), wage_cents_per_hour=0, parcels_per_year=1, draws=1_000, seed=start)
        truth = extra[cells] + rate[cells] * 10_000
        yield found.chance, float(found.best == str(start + int(truth.argmin())))


def verdicts() -> Iterator[Row]:
    """One look at a change 600 times over: two item types of 2 and 4 %, 2,000 parcels before and 1,500 after, while
    breakage in the control and everywhere else grows by a fifth."""
    rng = np.random.default_rng(5)
    quiet, halved = ([verdict(rng, effect) for _ in range(600)] for effect in (1.0, 0.5))
    yield "change without effect called worked", quiet.count(WORKED) / 600, 0.05
    yield "change without effect called worse", quiet.count(WORSE) / 600, 0.05
    yield "halved damage called no effect or worse", 1 - (halved.count(WORKED) + halved.count(NOT_SETTLED)) / 600, 0.06
    yield "halved damage not yet called worked", 1 - halved.count(WORKED) / 600, 0.45


def verdict(rng: np.random.Generator, effect: float) -> str:
    after = {"tube": 0.02 * effect, "tripod": 0.04 * effect, "mount": 0.02}
    before = {"tube": 0.02 / 1.2, "tripod": 0.04 / 1.2, "mount": 0.02 / 1.2}
    drawn = (rng.binomial(count, list(rate.values())) for count, rate in ((1_500, after), (2_000, before)))
    (a, b), n, m = (floats(each) for each in drawn), np.full(3, 1_500.0), np.full(3, 2_000.0)
    changed, control = (a[:2], n[:2], b[:2], m[:2]), (a[2:], n[2:], b[2:], m[2:])
    return judge_change([look_of(changed, control)], planned=1).verdict


def alarms() -> Iterator[Row]:
    """By day of report, with the reporting lag and a Christmas season, summed to weeks."""
    rng = np.random.default_rng(3)
    season = 1 + 0.8 * np.exp(-(((np.arange(364) - 330) / 15) ** 2))
    lags = np.diff(np.concatenate([[0.0], lag_curve().cumulative]))
    shipped = np.tile(season * 60 * 0.015 / 7, 600)
    expected = expected_reports(shipped, lag_curve()).reshape(-1, 7).sum(axis=1)
    reported = np.zeros(shipped.size)
    for day, claims in enumerate(rng.multinomial(rng.poisson(shipped), lags)):
        reported[day : day + claims.size] += claims[: shipped.size - day]
    design = design_weekly_cusum(float(expected.mean()))
    increments = design.increments(reported.reshape(-1, 7).sum(axis=1), expected)
    weeks = expected.size / cusum_path(increments, design.limit)[1].size
    yield "alarm by week, weeks between false alarms, distance from 200", abs(weeks / 200 - 1), 0.2


def lag_curve() -> LagCurve:
    share = 1 - np.exp(-np.arange(1, 122) / 20)
    share /= share[-1]
    return LagCurve(120, share, np.zeros(121), share[None], 100, 0, 0, is_default=False, drift_p=1.0)


def speed() -> Iterator[Row]:
    rng = np.random.default_rng(4)
    _, parcels, claims = shop(rng)
    (fitting,) = best_of(lambda: drawn_rates(claims, parcels), times=3)
    yield "one shop's model fitted and drawn, seconds", fitting, 0.5
    (tuning,) = best_of(lambda: design_weekly_cusum(400.0, 5_200), times=3)
    yield "weekly alarm on 400 claims a week tuned, milliseconds", 1_000 * tuning, 500


def best_of(*works: Callable[[], object], times: int = 20) -> list[float]:
    """Least seconds of each over several rounds, taken in turn: the machine is shared."""
    rounds = [[seconds(work) for work in works] for _ in range(times)]
    return [min(spent) for spent in zip(*rounds, strict=True)]


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


if __name__ == "__main__":
    for what, measured, limit in run():
        print(f"{'ok  ' if measured <= limit else 'OVER'} {measured:10.4f} {limit:8.3f}  {what}")
