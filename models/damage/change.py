"""Did a change work? Damage after against before on the changed item types, set against item types left alone.

Each side gives a Mantel-Haenszel risk ratio, after to before, within item types. The measured effect is the ratio of
the two: what the season or a carrier did to all parcels cancels. The logarithms' variances add (D. G. Altman,
J. M. Bland, "Interaction revisited: the difference between two estimates", BMJ 326 (2003), 219). Where claims vary by
more than chance, they count for less (models/damage/dispersion.py).

It is looked at again and again, at month ends: the limits are as wide as one error over all looks asks for
(models/damage/sequential.py), and the first look whose limits lie on one side of no change gives the verdict.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from scipy.stats import norm, t

from models.columns.changes import NO_EFFECT, NOT_SETTLED, TOO_EARLY, WORKED, WORSE
from models.damage.arrays import BoolArray, FloatArray, floats, require_columns
from models.damage.comparison import STRATUM, Ratio, arms, corrected, risk_ratio
from models.damage.sequential import bounds, spent
from models.errors import SettingsError
from models.settings.damage import EXPECTED_RATIO, LEAST_EXPECTED

# Of all looks together, for calling a change better that is not, and for calling one worse: less than 5 percent, since
# counts of claims are only nearly normal.
ERROR_BETTER, ERROR_WORSE = 0.025, 0.015
# How far a change of packing may be thought to move damage before anything is seen: normal in the logarithm of the
# ratio, so that two in three changes lie between half and double. Common practice, no source.
USUAL_EFFECT = 0.7
REACH = float(norm.ppf(0.975))
# Logarithm of a ratio beyond all that records show: limits without end are cut there.
LONGEST = 25.0
Arms = tuple[FloatArray, FloatArray, FloatArray, FloatArray]


@dataclass(frozen=True)
class Look:
    """One look at a change. middle, error: logarithm of the measured ratio and its standard error. claims_expected:
    claims after the change had the old rate stayed. claims_seen: claims after it. information: one over the
    error's square, had claims varied by chance alone: how far the record has come. freedom: degrees of freedom of the
    error."""

    middle: float
    error: float
    claims_expected: float
    claims_seen: float
    has_control: bool
    information: float
    freedom: float = np.inf

    def ratio(self, low: float, high: float) -> Ratio:
        """The measured ratio with limits so many standard errors below and above it, had the error been known; as much
        wider as Student's distribution is for the same chance (C. Jennison, B. W. Turnbull, "Exact calculations for
        sequential t, chi-squared and F tests", Biometrika 78 (1991), 133-141)."""
        return Ratio(*(_ratio(self.middle + self._steps(step) * self.error) for step in (0.0, low, high)))

    def _steps(self, wanted: float) -> float:
        is_known = np.isinf(self.freedom) or not np.isfinite(wanted)
        return wanted if is_known else float(np.sign(wanted) * t.isf(norm.sf(abs(wanted)), max(self.freedom, 1.0)))


@dataclass(frozen=True)
class ChangeVerdict:
    """at: number of the look that gave the verdict, from 0; the last one where none did. measured: damage rate after
    to before, relative to the control, with limits that hold over all looks; None where nothing can be measured.
    likely: the same at the last look, drawn towards no change as far as it is uncertain, with limits of 95 percent;
    it does not depend on when it was looked. seen: the look that gave the verdict; None where nothing was sent since.
    """

    verdict: str
    at: int
    measured: Ratio | None
    likely: Ratio | None
    seen: Look | None


def judge_change(
    looks: Sequence[Look | None], *, planned: int, expected_ratio: float = EXPECTED_RATIO
) -> ChangeVerdict:
    """The verdict on one change after these looks, in order, of the `planned` ones; None where a look tells nothing.

    Verdicts: worse or worked from the first look whose limits lie above or below one; worked not before LEAST_EXPECTED
    claims were to be expected. Else no effect seen, where the limits of the last look hold one but not the expected
    ratio; too early, or after the last planned look not settled, where they hold both.
    Raises SettingsError for an expected ratio of one, or not above nothing.
    """
    if expected_ratio <= 0 or expected_ratio == 1:
        raise SettingsError(
            "change log", f"expected ratio {expected_ratio}", "the verdict on this change", "state a ratio such as 0.5"
        )
    numbers = [number for number, each in enumerate(looks[:planned]) if each is not None]
    informed = [each for each in looks[:planned] if each is not None]
    if not informed:
        verdict = TOO_EARLY if len(looks) < planned else NOT_SETTLED
        return ChangeVerdict(verdict, max(len(looks) - 1, 0), None, None, None)
    low, high = _limits(informed, (np.array(numbers) + 1.0) / planned)
    intervals = [each.ratio(-above, -below) for each, below, above in zip(informed, low, high, strict=True)]
    proven = (at for at, each in enumerate(intervals) if each.low > 1.0 or each.high < 1.0)
    at = next(proven, max(np.flatnonzero(np.isfinite(high)), default=len(informed) - 1))
    verdict = _verdict(intervals[at], expected_ratio, is_last=len(looks) >= planned)
    return ChangeVerdict(verdict, numbers[at], intervals[at], _likely(informed[-1]), informed[at])


def _limits(informed: Sequence[Look], time: FloatArray) -> tuple[FloatArray, FloatArray]:
    """How many standard errors the estimate must lie below or above no change, at each look."""
    information = np.maximum.accumulate([each.information for each in informed])
    is_enough = np.array([each.claims_expected >= LEAST_EXPECTED for each in informed])
    better, worse = spent(time, ERROR_BETTER), spent(time, ERROR_WORSE)
    return bounds(information, np.where(np.logical_or.accumulate(is_enough), better, 0.0), worse)


def _verdict(measured: Ratio, expected_ratio: float, *, is_last: bool) -> str:
    if measured.low > 1.0 or measured.high < 1.0:
        return WORSE if measured.low > 1.0 else WORKED
    if not measured.low <= expected_ratio <= measured.high:
        return NO_EFFECT
    return NOT_SETTLED if is_last else TOO_EARLY


def _likely(look: Look) -> Ratio:
    kept = USUAL_EFFECT**2 / (USUAL_EFFECT**2 + look.error**2)
    reach = REACH * np.sqrt(kept) * look.error
    return Ratio(*(_ratio(kept * look.middle + step * reach) for step in (0.0, -1.0, 1.0)))


def look_at(strata: pd.DataFrame) -> Look | None:
    """One look. `strata` has the columns STRATUM and is_changed: one row per item type, changed or left alone, `a`
    after the change and `b` before it, as known then; exposure is corrected for claims still to come. An item type
    seen on one side only is left out. effect_a, effect_b, where they are there: the variance of its claims over that of
    chance."""
    require_columns(strata, (*STRATUM, "is_changed"), "change log")
    a, n, b, m = arms(strata)
    both, is_changed = (n > 0) & (m > 0), strata["is_changed"].to_numpy(bool)
    after, before = (floats(strata[name]) if name in strata else np.ones(a.size) for name in ("effect_a", "effect_b"))
    telling, own = (a / after, n / after, b / before, m / before), (both & is_changed, both & ~is_changed)
    counted, weighed = (look_of(*(_of(sides, each) for each in own)) for sides in ((a, n, b, m), telling))
    return weigh(counted, weighed, float(strata["freedom"].min()) if "freedom" in strata else np.inf)


def weigh(counted: Look | None, weighed: Look | None, freedom: float) -> Look | None:
    """The look at claims as they are on record, with the ratio and error of those that count for less."""
    if counted is None or weighed is None:
        return None
    return replace(counted, middle=weighed.middle, error=weighed.error, freedom=freedom)


def _of(sides: Arms, own: BoolArray) -> Arms:
    a, n, b, m = (side[own] for side in sides)
    return a, n, b, m


def look_of(changed: Arms, control: Arms) -> Look | None:
    """One look at claims and exposure after, claims and exposure before, by item type, of changed ones and of those
    left alone; None where no changed item type was sent before and after."""
    if changed[0].size == 0:
        return None
    a, n, b, m = changed
    effect = risk_ratio(*corrected(*changed))
    has_control = control[0].size > 0
    measured = relative(effect, risk_ratio(*corrected(*control))) if has_control else effect
    middle, error = np.log(measured.value), np.log(measured.high / measured.low) / (2.0 * REACH)
    return Look(float(middle), float(error), float((n * b / m).sum()), float(a.sum()), has_control, float(error**-2.0))


def relative(effect: Ratio, control: Ratio) -> Ratio:
    """The ratio of two independent ratios with its interval; the limits of all are of 95 percent."""
    errors = [np.log(ratio.high / ratio.low) / (2.0 * REACH) for ratio in (effect, control)]
    middle, error = np.log(effect.value / control.value), np.hypot(*errors)
    return Ratio(*(float(np.exp(middle + step * REACH * error)) for step in (0, -1, 1)))


def _ratio(logarithm: float) -> float:
    return float(np.exp(np.clip(logarithm, -LONGEST, LONGEST)))


def drawn_before(
    claims: FloatArray, exposure: FloatArray, chosen: BoolArray, prior: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Claims and exposure before a change, by item type, as they count where the `chosen` ones were picked for theirs.

    Whatever is changed because it was the worst of several gets better by itself, since chance helped to make it the
    worst (F. Galton, "Regression towards mediocrity in hereditary stature", Journal of the Anthropological Institute 15
    (1886), 246-263). A rate that is drawn towards its like, as far as all of them together say, is not misled by having
    been chosen (B. Efron, "Tweedie's formula and selection bias", Journal of the American Statistical Association 106
    (2011), 1602-1614).

    The chosen ones gain the prior's claims and parcels; what they lose or gain by it against their own record is given
    to or taken from the others, so that the shop's claims stay as many. chosen: true or false. All shapes (types,).
    prior: alpha and beta of a beta distribution; it weighs at most as much as the other item types.
    """
    weight = min(1.0, float(exposure[~chosen].sum()) / sum(prior))
    alpha, parcels = weight * prior[0], weight * sum(prior)
    share = np.divide(exposure, exposure + parcels, out=np.zeros_like(exposure), where=exposure > 0)
    drawn = (claims + alpha) * share
    moved, rest = float((claims - drawn)[chosen].sum()), float(claims[~chosen].sum())
    others = claims * max((rest + moved) / rest, 0.0) if rest > 0 else claims
    return np.where(chosen, claims + alpha, others), np.where(chosen, exposure + parcels, exposure)
