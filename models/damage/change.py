"""Did a change work? Damage after against before on the changed item types, set against item types left alone.

Each side gives a Mantel-Haenszel risk ratio, after to before, within item types. The measured effect is the ratio of
the two: what the season or a carrier did to all parcels cancels. The logarithms' variances add (D. G. Altman,
J. M. Bland, "Interaction revisited: the difference between two estimates", BMJ 326 (2003), 219).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.stats import norm

from models.columns.changes import NO_EFFECT, TOO_EARLY, WORKED, WORSE
from models.damage.arrays import FloatArray, floats, require_columns
from models.damage.comparison import Ratio, arms, corrected, risk_ratio
from models.errors import SettingsError
from models.settings.damage import EXPECTED_RATIO, LEAST_EXPECTED

# Verdicts are tried in the order worse, too early, worked, no effect seen: harm is said at once. Too early: fewer than
# LEAST_EXPECTED claims were to be expected after the change at the old rate, or the interval holds both one and the
# expected ratio. Worked, worse: the whole interval lies below one, above one. No effect: it holds one, not the ratio.
SIDE = ("item_type", "is_changed", "is_after", "claims", "exposure")


@dataclass(frozen=True)
class ChangeVerdict:
    """measured: damage rate after to before, relative to the control; None where nothing can be measured. expected: the
    ratio hoped for when the change was logged. has_control: whether unchanged item types served as control.
    claims_expected: claims after the change had the old rate stayed. claims_seen: claims after the change.
    """

    verdict: str
    measured: Ratio | None
    expected: float
    claims_expected: float
    claims_seen: float
    has_control: bool


def judge_change(sides: pd.DataFrame, *, expected_ratio: float = EXPECTED_RATIO, level: float = 0.95) -> ChangeVerdict:
    """The verdict on one change. `sides` has the columns SIDE: one row per item type, changed or control, before or
    after; exposure is corrected for claims still to come. An item type seen on one side only is left out.

    Raises SettingsError for an expected ratio of one, or not above nothing.
    """
    require_columns(sides, SIDE, "change log")
    if expected_ratio <= 0 or expected_ratio == 1:
        raise SettingsError(
            "change log", f"expected ratio {expected_ratio}", "the verdict on this change", "state a ratio such as 0.5"
        )
    changed, control = (_arms(sides[sides["is_changed"].astype(bool) == side]) for side in (True, False))
    seen, expected_claims = float(changed[0].sum()), _claims_expected(*changed)
    if changed[0].size == 0:
        return ChangeVerdict(TOO_EARLY, None, expected_ratio, 0.0, 0.0, has_control=control[0].size > 0)
    effect = _ratio(changed, level)
    has_control = control[0].size > 0
    measured = relative(effect, _ratio(control, level), level) if has_control else effect
    verdict = _verdict(measured, expected_ratio, expected_claims)
    return ChangeVerdict(verdict, measured, expected_ratio, expected_claims, seen, has_control)


def relative(effect: Ratio, control: Ratio, level: float = 0.95) -> Ratio:
    """The ratio of two independent ratios with its interval; both limits must be of the same `level`."""
    reach = float(norm.ppf((1.0 + level) / 2.0))
    errors = [np.log(ratio.high / ratio.low) / (2.0 * reach) for ratio in (effect, control)]
    middle, error = np.log(effect.value / control.value), np.hypot(*errors)
    return Ratio(*(float(np.exp(middle + step * reach * error)) for step in (0, -1, 1)))


def _arms(side: pd.DataFrame) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Claims and exposure after and before, of the item types that have both."""
    is_after = side["is_after"].astype(bool)
    types = sorted(side["item_type"].unique())
    strata = pd.DataFrame(index=pd.Index(types))
    for name, rows in (("a", side[is_after]), ("b", side[~is_after])):
        sums = rows.groupby("item_type")[["claims", "exposure"]].sum().reindex(types, fill_value=0)
        strata[f"claims_{name}"], strata[f"exposure_{name}"] = floats(sums["claims"]), floats(sums["exposure"])
    a, n, b, m = arms(strata)
    both = (n > 0) & (m > 0)
    return a[both], n[both], b[both], m[both]


def _ratio(side: tuple[FloatArray, FloatArray, FloatArray, FloatArray], level: float) -> Ratio:
    return risk_ratio(*corrected(*side), level)


def _claims_expected(a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray) -> float:
    return float((n * b / m).sum()) if a.size else 0.0


def _verdict(measured: Ratio, expected_ratio: float, claims_expected: float) -> str:
    if measured.low > 1.0:
        return WORSE
    if claims_expected < LEAST_EXPECTED:
        return TOO_EARLY
    if measured.high < 1.0:
        return WORKED
    return TOO_EARLY if measured.low <= expected_ratio <= measured.high else NO_EFFECT
