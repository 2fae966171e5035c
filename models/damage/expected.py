"""What the goods of each period lead one to expect, from what the same goods did in the periods of the baseline.

Indirect standardisation: each cell of item type and service keeps the rate of its baseline, and a period expects what
its own parcels by these rates would have. A promotion or a season changes the parcels and thereby what is expected.
Cells with few parcels in the baseline lean on the mean of all.
"""

from dataclasses import dataclass

import numpy as np

from models.damage.arrays import BoolArray, FloatArray

# Parcels that the mean of all cells counts for in each (common practice, no source).
LEANING = 5.0


@dataclass(frozen=True)
class Expected:
    """Of each period, shape (periods,): the mean count, its variance were the rates known, and the variance that comes
    from not knowing them and from what varies between weeks beyond chance. known: parcels of the baseline."""

    mean: FloatArray
    variance: FloatArray
    doubt: FloatArray
    known: float


def rates(amounts: FloatArray, parcels: FloatArray, baseline: int) -> FloatArray:
    """Amount per parcel of each cell over the first `baseline` periods. amounts, parcels: cells x periods."""
    seen, sent = amounts[:, :baseline].sum(axis=1), parcels[:, :baseline].sum(axis=1)
    mean = seen.sum() / max(sent.sum(), 1.0)
    return np.asarray((seen + LEANING * mean) / (sent + LEANING), dtype=float)


def scaled(by_cell: FloatArray, amounts: FloatArray, parcels: FloatArray, baseline: int) -> FloatArray:
    """The cells' rates, so that the baseline as a whole is expected to be what it was."""
    expected = float((by_cell @ parcels[:, :baseline]).sum())
    return by_cell * (float(amounts[:, :baseline].sum()) / expected if expected > 0 else 1.0)


def expected_counts(marked: FloatArray, parcels: FloatArray, baseline: int) -> Expected:
    """How many of each period's parcels are to be expected among the marked. marked, parcels: cells x periods."""
    share = np.clip(scaled(rates(marked, parcels, baseline), marked, parcels, baseline), 0.0, 1.0)
    sent = parcels[:, :baseline].sum(axis=1)
    mean, variance = share @ parcels, (share * (1.0 - share)) @ parcels
    unknown = (share * (1.0 - share) / (sent + LEANING)) @ parcels**2
    more = _overdispersion(marked.sum(axis=0)[:baseline], mean[:baseline], variance[:baseline]) - 1.0
    return Expected(mean, variance, unknown + more * variance, float(sent.sum()))


def _overdispersion(seen: FloatArray, mean: FloatArray, variance: FloatArray) -> float:
    """How many times chance alone the weeks of the baseline vary, at least once."""
    is_known = variance > 0
    return max(float(((seen - mean)[is_known] ** 2 / variance[is_known]).mean()), 1.0) if is_known.any() else 1.0


def widths(parcels: FloatArray, baseline: int) -> FloatArray:
    """How many times as far as a usual one a period's mean strays: more where it has fewer parcels, or many of cells
    that the baseline knows from few. Never less than once, since not all that varies is chance. parcels: cells x
    periods."""
    sent, sums = parcels[:, :baseline].sum(axis=1), np.maximum(parcels.sum(axis=0), 1.0)
    usual = float(sums[:baseline].mean())
    unknown = usual * ((parcels / sums) ** 2 / (sent + 1.0)[:, None]).sum(axis=0)
    return np.asarray(np.sqrt(np.maximum(usual / sums, 1.0) + unknown), dtype=float)


def are_known(parcels: FloatArray, baseline: int) -> BoolArray:
    """Cells with LEANING parcels or more in the baseline: of others nobody knows what is usual."""
    return np.asarray(parcels[:, :baseline].sum(axis=1) >= LEANING, dtype=bool)
