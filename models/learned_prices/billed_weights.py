"""What a carrier bills by, learned from its bills: the step of its weights, and what volume weighs."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from models.learned_prices.cells import Numbers

STEPS = (10.0, 5.0, 1.0, 0.5, 0.25, 0.1)
# Nearly all billed weights are multiples of a step.
ON_STEP = 0.98
# A divisor is known where it explains so many bills that scale weight alone does not, and so large a share of all.
LEAST_BILLS, LEAST_SHARE = 20, 0.95


@dataclass(frozen=True)
class Divisor:
    """A divisor, the share of bills whose weight follows by it, and how many rose above scale weight."""

    divisor: float
    share: float
    bill_count: int


def weight_step(weights: Numbers) -> float | None:
    """The largest usual step of which nearly all weights are multiples; None where there is none."""
    for step in STEPS:
        if len(weights) and (np.abs(weights / step - np.round(weights / step)) < 0.01).mean() >= ON_STEP:
            return step
    return None


def divisor(bills: pd.DataFrame, step: float) -> Divisor | None:
    """The divisor by which most billed weights follow, rounded up to the step; None where none explains nearly all.

    bills: billed_weight, scale_weight and volume, in the units of the divisor; unknown ones are left out.
    """
    known = bills.dropna(subset=["billed_weight", "scale_weight", "volume"])
    billed, volume = known["billed_weight"].to_numpy(np.float64), known["volume"].to_numpy(np.float64)
    scale = np.ceil(np.round(known["scale_weight"].to_numpy(np.float64) / step, 3)) * step
    is_raised = billed > scale + step / 100
    if is_raised.sum() < LEAST_BILLS:
        return None
    # A raised bill says that volume / divisor lies above the step before it and not above it; any other only the last.
    least = volume / (billed + step / 1_000)
    most = np.where(is_raised, volume / np.maximum(billed - step * 0.999, 1e-9), np.inf)
    found = _rounded(*_most_agreed(least, most))
    agreed = (least <= found) & (found < most) & (billed >= scale - step / 100)
    enough = agreed.mean() >= LEAST_SHARE and agreed[is_raised].mean() >= LEAST_SHARE
    return Divisor(found, float(agreed.mean()), int(is_raised.sum())) if enough else None


def _most_agreed(least: Numbers, most: Numbers) -> tuple[float, float]:
    """The span of divisors that most bills agree on."""
    ends = np.r_[least, most[np.isfinite(most)]]
    steps = np.r_[np.ones(len(least)), -np.ones(int(np.isfinite(most).sum()))]
    order = np.lexsort((-steps, ends))
    best = int(np.argmax(np.cumsum(steps[order])))
    return float(ends[order][best]), float(ends[order][min(best + 1, len(ends) - 1)])


def _rounded(low: float, high: float) -> float:
    """The number of fewest figures within the span: lists state 5000 or 139, not 4998.37."""
    for unit in (1_000.0, 500.0, 100.0, 50.0, 10.0, 1.0, 0.1, 0.01):
        if np.ceil(low / unit) * unit <= high:
            return float(np.ceil(low / unit) * unit)
    return low
