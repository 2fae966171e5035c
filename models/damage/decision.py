"""Which packing method to use: material, minutes, carton, postage and expected damage of each, in cents per parcel.

What is not known is drawn: the damage rate from the model of all damage, severity from its bootstrap, and the mean
carriage from the parcels it was computed on. The answer is the chance that each method is the cheapest, not only the
best guess.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import norm
from statsmodels.stats.proportion import samplesize_proportions_2indep_onetail

from models.damage.arrays import FloatArray
from models.errors import NotFoundError, SettingsError

CHANCE_NEEDED = 0.9
MOST_PARCELS, MOST_TRIAL_PARCELS = 1_000_000, 10**9
POWER = 0.8


@dataclass(frozen=True)
class MethodCase:
    """One packing method for one item type.

    carriage_cents: carton and postage of the same parcels under every method, in the same order, shape (parcels,).
    damage_rates: draws of the rate (models/damage/pooled.py), one for all methods in the same place. severity_cents:
    draws of the loss per damaged parcel (models/damage/losses.py); methods of one item type may share them.
    """

    packing_method: str
    material_cents: float
    pack_minutes: float
    carriage_cents: FloatArray
    damage_rates: FloatArray
    severity_cents: FloatArray

    @property
    def damage_rate(self) -> float:
        """Mean of what it may be."""
        return float(self.damage_rates.mean())


@dataclass(frozen=True)
class PackingDecision:
    """methods: one row per method, cheapest first: packing_method, packing_cents, carriage_cents, damage_cents,
    total_cents, total_low, total_high, chance_cheapest, yearly_gain_cents (against the current method, with _low and
    _high), damage_rate, break_even_rate (the rate at which it would cost what the current method costs; 0 means it
    cannot pay, 1 that it always pays).

    best, current: methods. chance: that `best` is the cheapest. gain_cents: what it may be counted on to save in a
    year, less than its row says: the best of several looks better than it is (`counted_on`). is_recommended: chance
    reaches the wanted one and best is not current. wait_parcels: more parcels by each of the two methods before the
    chance is expected to reach it; 0 if it does already, None if no number of parcels would. perfect_information_cents:
    what knowing every rate exactly would be worth per year. trial_parcels: per method, to show the difference in damage
    with power POWER; None where the two rates are alike.
    """

    methods: pd.DataFrame
    best: str
    current: str
    chance: float
    gain_cents: float
    is_recommended: bool
    wait_parcels: int | None
    perfect_information_cents: float
    trial_parcels: int | None


def decide(
    cases: Sequence[MethodCase],
    *,
    current: str,
    wage_cents_per_hour: float,
    parcels_per_year: float,
    chance_needed: float = CHANCE_NEEDED,
    draws: int = 4_000,
    seed: int = 0,
) -> PackingDecision:
    """The decision for one item type. Raises NotFoundError where `current` is not among the cases, SettingsError for
    cases on different parcels or a wanted chance outside 1/2 to 1."""
    names = _checked(cases, current, chance_needed)
    packing = np.array([case.material_cents + case.pack_minutes / 60.0 * wage_cents_per_hour for case in cases])
    carriage = np.array([case.carriage_cents for case in cases], dtype=float)
    rng = np.random.default_rng(seed)
    damage = _together([case.damage_rates for case in cases], draws, rng) * _together(
        [case.severity_cents for case in cases], draws, rng
    )
    total = packing + _mean_carriage(carriage, draws, rng) + damage
    methods = _table(cases, packing, carriage, total, names.index(current), parcels_per_year)
    best = str(methods["packing_method"].iloc[0])
    chance = float(methods["chance_cheapest"].iloc[0])
    first, other = names.index(best), _rival(total, names.index(best))
    gain = (total[:, names.index(current)] - total[:, first]) * parcels_per_year
    return PackingDecision(
        methods,
        best,
        current,
        chance,
        counted_on(float(methods["yearly_gain_cents"].iloc[0]), float(gain.std())),
        is_recommended=chance >= chance_needed and best != current,
        wait_parcels=_wait(cases, total, first, other, chance, chance_needed),
        perfect_information_cents=float(total.mean(axis=0).min() - total.min(axis=1).mean()) * parcels_per_year,
        trial_parcels=parcels_per_arm(cases[first].damage_rate, cases[other].damage_rate),
    )


def _checked(cases: Sequence[MethodCase], current: str, chance_needed: float) -> list[str]:
    names = [case.packing_method for case in cases]
    if current not in names:
        raise NotFoundError(
            "packing decision",
            f"the current packing method {current} is not among those compared",
            "the yearly gain of every other method",
            "add it to the packing methods, or name another as current",
        )
    sizes = {case.carriage_cents.size for case in cases}
    if len(sizes) > 1 or 0 in sizes:
        raise SettingsError(
            "packing decision",
            "the methods were not rated on the same parcels",
            "the decision for this item type",
            "rate every method on the same parcels",
        )
    if not 0.5 <= chance_needed < 1.0:
        raise SettingsError(
            "chance needed", f"{chance_needed}", "every recommendation", "state a chance from 0.5 to below 1"
        )
    return names


def counted_on(gain: float, error: float) -> float:
    """A gain that was picked for being the largest, drawn towards nothing as far as it is uncertain: gains are thought
    to lie around nothing, as far from it as this one (a normal prior with the spread that is seen, as in W. James, C.
    Stein, "Estimation with quadratic loss", Proceedings of the Fourth Berkeley Symposium 1 (1961), 361-379)."""
    return gain * gain**2 / (gain**2 + error**2) if gain else 0.0


def _together(drawn: Sequence[FloatArray], draws: int, rng: np.random.Generator) -> FloatArray:
    """Draws x methods: what was drawn for several methods in one place stays together."""
    order = rng.permutation(draws)
    return np.column_stack([each[order % each.size] for each in drawn])


def _mean_carriage(carriage: FloatArray, draws: int, rng: np.random.Generator) -> FloatArray:
    """Mean carriage per method as next year's parcels may have it: methods move together, since parcels are shared."""
    mean = carriage.mean(axis=1)
    if carriage.shape[1] < 2:
        return np.broadcast_to(mean, (draws, mean.size))
    covariance = np.cov(carriage).reshape(mean.size, mean.size) / carriage.shape[1]
    return rng.multivariate_normal(mean, covariance, draws, method="eigh", check_valid="ignore")


def _table(
    cases: Sequence[MethodCase],
    packing: FloatArray,
    carriage: FloatArray,
    total: FloatArray,
    current: int,
    parcels_per_year: float,
) -> pd.DataFrame:
    gain = (total[:, [current]] - total) * parcels_per_year
    (low, high), (gain_low, gain_high) = (np.quantile(each, [0.025, 0.975], axis=0) for each in (total, gain))
    rate = np.array([case.damage_rate for case in cases])
    severity = np.array([case.severity_cents.mean() for case in cases])
    fixed = packing + carriage.mean(axis=1)
    expected = fixed + rate * severity
    table = pd.DataFrame(
        {
            "packing_method": [case.packing_method for case in cases],
            "packing_cents": packing,
            "carriage_cents": carriage.mean(axis=1),
            "damage_cents": rate * severity,
            "total_cents": expected,
            "total_low": low,
            "total_high": high,
            "chance_cheapest": np.bincount(total.argmin(axis=1), minlength=len(cases)) / total.shape[0],
            "yearly_gain_cents": (expected[current] - expected) * parcels_per_year,
            "yearly_gain_low": gain_low,
            "yearly_gain_high": gain_high,
            "damage_rate": rate,
            "break_even_rate": _break_even(expected[current] - fixed, severity),
        }
    )
    return table.sort_values("total_cents", kind="stable", ignore_index=True)


def _break_even(left_cents: FloatArray, severity: FloatArray) -> FloatArray:
    """Damage rate that spends what is left; where damage costs nothing a method pays always or never."""
    rate = np.where(left_cents >= severity, 1.0, 0.0)
    return np.divide(left_cents, severity, out=rate, where=(left_cents > 0) & (left_cents < severity))


def _rival(total: FloatArray, best: int) -> int:
    """The method that most often is cheaper than the best guess; the best itself where it stands alone."""
    cheaper = (total < total[:, [best]]).mean(axis=0)
    cheaper[best] = -1.0
    return int(cheaper.argmax()) if cheaper.size > 1 else best


def _wait(
    cases: Sequence[MethodCase], total: FloatArray, best: int, other: int, chance: float, needed: float
) -> int | None:
    """Smallest number of further parcels by each method that makes the chance reach `needed`, if means stay put."""
    if chance >= needed or best == other:
        return 0
    difference = total[:, other] - total[:, best]
    allowed = (max(difference.mean(), 0.0) / norm.ppf(needed)) ** 2 if needed > 0.5 else math.inf
    now = np.array([_rate_variance(cases[index], 0) for index in (best, other)])
    fixed = max(float(difference.var() - now.sum()), 0.0)

    def settles(parcels: int) -> bool:
        return fixed + sum(_rate_variance(cases[index], parcels) for index in (best, other)) <= allowed

    if not settles(MOST_PARCELS):
        return None
    low, high = 0, MOST_PARCELS
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if settles(middle) else (middle, high)
    return high


def _rate_variance(case: MethodCase, more_parcels: int) -> float:
    """Variance of expected damage, in cents squared, after so many more parcels."""
    rate = case.damage_rate
    chance = rate * (1.0 - rate)
    variance = float(case.damage_rates.var())
    return float(case.severity_cents.mean() ** 2 * chance * variance / (chance + more_parcels * variance))


def parcels_per_arm(rate_a: float, rate_b: float, *, power: float = POWER, level: float = 0.05) -> int | None:
    """Parcels by each method that show the difference between two damage rates in a two-sided test.

    Normal approximation with pooled variance under no difference; None where the rates are alike, or so
    nearly so that no shop sends parcels enough.
    """
    if math.isclose(rate_a, rate_b, rel_tol=1e-6, abs_tol=1e-9):
        return None
    found = float(samplesize_proportions_2indep_onetail(rate_a - rate_b, rate_b, power, alpha=level))
    return math.ceil(found) if found <= MOST_TRIAL_PARCELS else None
