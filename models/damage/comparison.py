"""Two packing methods compared within strata.

The more expensive method is used on the more fragile goods, so its crude rate can look worse while it is better on
every item type. The Mantel-Haenszel ratios compare like with like. Interval of the odds ratio: J. Robins, N. Breslow,
S. Greenland, Biometrics 42 (1986), 311-323 (statsmodels). Interval of the risk ratio: S. Greenland, J. Robins,
"Estimation of a common effect parameter from sparse follow-up data", Biometrics 41 (1985), 55-68.
Ratios are of the first method to the second: below one, the first breaks less.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pandas as pd
from scipy.special import ndtri
from scipy.stats import false_discovery_control, norm
from statsmodels.stats.contingency_tables import StratifiedTable

from models.damage.arrays import BoolArray, FloatArray, at_least_the_claims, floats, require_columns

STRATUM = ("stratum", "claims_a", "exposure_a", "claims_b", "exposure_b")
# A change of a tenth between the crude and the adjusted ratio counts as a difference: common practice, no source.
NOTABLE_CHANGE = 0.10
LEAST_CLAIMS = 5.0


@dataclass(frozen=True)
class Ratio:
    """An estimated ratio and its limits."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Comparison:
    """First method against second, over the strata that used both.

    crude_ratio: ratio of rates with strata thrown together. p_value: Mantel-Haenszel test with continuity correction
    that both break alike. homogeneity_p: Tarone's test that the ratio is the same in all strata; None where fewer than
    two strata can tell. is_corrected: one method never had a claim, or always; see `corrected`. strata_dropped: strata
    that lack one of the methods.
    """

    risk_ratio: Ratio
    odds_ratio: Ratio
    p_value: float
    homogeneity_p: float | None
    crude_ratio: float
    claims: float
    is_corrected: bool
    strata_used: int
    strata_dropped: int

    @property
    def is_too_few(self) -> bool:
        """Whether both methods together have fewer than LEAST_CLAIMS claims: too few for the test's approximation."""
        return self.claims < LEAST_CLAIMS

    @property
    def is_reversed(self) -> bool:
        """Whether the crude and the adjusted ratio point in opposite directions."""
        return bool(np.log(self.crude_ratio) * np.log(self.risk_ratio.value) < 0)

    @property
    def crude_and_adjusted_disagree(self) -> bool:
        """Whether they point in opposite directions or differ by more than NOTABLE_CHANGE."""
        change = abs(np.log(self.crude_ratio / self.risk_ratio.value))
        return self.is_reversed or bool(change > np.log1p(NOTABLE_CHANGE))


def strata_of(cells: pd.DataFrame, method_a: str, method_b: str) -> pd.DataFrame:
    """Columns STRATUM, one row per item type of `cells` (item_type, packing_method, claims, exposure)."""
    require_columns(cells, ("item_type", "packing_method", "claims", "exposure"), "damage cells")
    types = sorted(cells["item_type"].unique())
    strata: dict[str, object] = {"stratum": types}
    for side, method in (("a", method_a), ("b", method_b)):
        sums = cells[cells["packing_method"] == method].groupby("item_type")[["claims", "exposure"]].sum()
        sums = sums.reindex(types, fill_value=0)
        strata |= {f"{column}_{side}": floats(sums[column]) for column in ("claims", "exposure")}
    return pd.DataFrame(strata)


def compare(strata: pd.DataFrame) -> Comparison | None:
    """The comparison, or None where no stratum used both methods. `strata` has the columns STRATUM."""
    require_columns(strata, STRATUM, "strata to compare")
    claims_a, risk_a, claims_b, risk_b = arms(strata)
    both = (risk_a > 0) & (risk_b > 0)
    if not both.any():
        return None
    kept = claims_a[both], risk_a[both], claims_b[both], risk_b[both]
    a, n, b, m = corrected(*kept)
    table = StratifiedTable(np.array([[a, n - a], [b, m - b]]))
    # The test takes the counts as they are; the correction serves the ratio only.
    return Comparison(
        risk_ratio=risk_ratio(a, n, b, m),
        odds_ratio=_odds_ratio(table),
        p_value=_null_p(*kept),
        homogeneity_p=_homogeneity_p(*kept),
        crude_ratio=float((a.sum() / n.sum()) / (b.sum() / m.sum())),
        claims=float(kept[0].sum() + kept[2].sum()),
        is_corrected=bool(a.sum() != kept[0].sum()),
        strata_used=int(both.sum()),
        strata_dropped=int((~both).sum()),
    )


def arms(strata: pd.DataFrame) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """claims_a, exposure_a, claims_b, exposure_b as arrays; exposure is never below the claims."""
    claims_a, claims_b = floats(strata["claims_a"]), floats(strata["claims_b"])
    return (
        claims_a,
        at_least_the_claims(claims_a, floats(strata["exposure_a"])),
        claims_b,
        at_least_the_claims(claims_b, floats(strata["exposure_b"])),
    )


def corrected(
    a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """The arms; where one method never had a claim, or the odds are not known, with half a claim and half a whole
    parcel added to each method, shared among strata by their weight."""
    sides = (a * m, b * n, a * (m - b), b * (n - a))
    if min(float((side / (n + m)).sum()) for side in sides) > 0:
        return a, n, b, m
    weight = n * m / (n + m)
    share = weight / weight.sum()
    return a + 0.5 * share, n + share, b + 0.5 * share, m + share


def risk_ratio(a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray, level: float = 0.95) -> Ratio:
    """Mantel-Haenszel ratio of rates (a of n against b of m, by stratum) with Greenland and Robins' interval."""
    total = n + m
    above, below = (a * m / total).sum(), (b * n / total).sum()
    variance = (((a + b) * n * m - a * b * total) / total**2).sum() / (above * below)
    reach = ndtri((1.0 + level) / 2.0) * np.sqrt(variance)
    middle = np.log(above / below)
    return Ratio(float(np.exp(middle)), float(np.exp(middle - reach)), float(np.exp(middle + reach)))


def _odds_ratio(table: StratifiedTable) -> Ratio:
    low, high = table.oddsratio_pooled_confint()
    return Ratio(float(table.oddsratio_pooled), float(low), float(high))


def _telling(a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray) -> BoolArray:
    """Strata with at least one claim and one whole parcel: only these can tell the methods apart."""
    return np.asarray((a + b > 0) & (a + b < n + m) & (n + m > 1.0), dtype=bool)


def _null_p(a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray) -> float:
    telling = _telling(a, n, b, m)
    if not telling.any():
        return 1.0
    table = StratifiedTable(np.array([[a, n - a], [b, m - b]])[:, :, telling])
    surplus = abs((a - n * (a + b) / (n + m))[telling].sum())
    # The correction must not turn a difference smaller than half a claim into a larger one.
    return float(table.test_null_odds(correction=True).pvalue) if surplus > 0.5 else 1.0


def _homogeneity_p(a: FloatArray, n: FloatArray, b: FloatArray, m: FloatArray) -> float | None:
    telling = _telling(a, n, b, m)
    can_pool = (
        a[telling].sum() > 0 and b[telling].sum() > 0 and (n - a)[telling].sum() > 0 and (m - b)[telling].sum() > 0
    )
    if np.count_nonzero(telling) < 2 or not can_pool:
        return None
    table = StratifiedTable(np.array([[a, n - a], [b, m - b]])[:, :, telling])
    with np.errstate(all="ignore"):
        p_value = float(table.test_equal_odds(adjust=True).pvalue)
    return p_value if np.isfinite(p_value) else None


def compare_methods(cells: pd.DataFrame, *, false_discovery_rate: float = 0.05) -> pd.DataFrame:
    """Every pair of packing methods in `cells`, one row each, with Benjamini and Hochberg's adjusted p-value
    (Journal of the Royal Statistical Society B 57 (1995), 289-300). Pairs without a common item type are left out.

    Columns: method_a, method_b, risk_ratio, risk_ratio_low, risk_ratio_high, odds_ratio, p_value, adjusted_p,
    is_different, homogeneity_p, crude_ratio, disagrees, is_reversed, is_corrected, is_too_few, strata_used. A pair
    with too few claims is never called different.
    """
    pairs = [
        (pair, found)
        for pair in combinations(sorted(cells["packing_method"].dropna().unique()), 2)
        if (found := compare(strata_of(cells, *pair))) is not None
    ]
    rows = pd.DataFrame([_pair_row(a, b, found) for (a, b), found in pairs], columns=list(PAIR_COLUMNS))
    different, adjusted = adjust(floats(rows["p_value"]), false_discovery_rate)
    return rows.assign(adjusted_p=adjusted, is_different=different & ~rows["is_too_few"].to_numpy(bool))


PAIR_COLUMNS = (
    *("method_a", "method_b", "risk_ratio", "risk_ratio_low", "risk_ratio_high", "odds_ratio", "p_value"),
    *("homogeneity_p", "crude_ratio", "disagrees", "is_reversed", "is_corrected", "is_too_few", "strata_used"),
)


def _pair_row(method_a: str, method_b: str, found: Comparison) -> tuple[object, ...]:
    ratio = found.risk_ratio
    return (
        *(method_a, method_b, ratio.value, ratio.low, ratio.high, found.odds_ratio.value, found.p_value),
        *(found.homogeneity_p, found.crude_ratio, found.crude_and_adjusted_disagree, found.is_reversed),
        *(found.is_corrected, found.is_too_few, found.strata_used),
    )


def hold_together(chances: FloatArray, error: float) -> BoolArray:
    """Which of several statements may be made so that any of them is wrong with no more than `error`, from the chance
    that each is (S. Holm, "A simple sequentially rejective multiple test procedure", Scandinavian Journal of Statistics
    6 (1979), 65-70). Shape (statements,)."""
    order = np.argsort(chances)
    # statsmodels' multipletests collects garbage in each call, which takes longer than all else of a small build.
    stand = np.logical_and.accumulate(chances[order] <= error / np.arange(chances.size, 0, -1))
    return np.asarray(stand[np.argsort(order)], dtype=bool)


def reach_of_chosen(chosen: int, statements: int, error: float) -> float:
    """How many standard errors the limits lie from the middle, so that of those `chosen` among the statements no more
    than this share lies beyond its limit on one side (Y. Benjamini, D. Yekutieli, "False discovery rate-adjusted
    multiple confidence intervals for selected parameters", Journal of the American Statistical Association 100 (2005),
    71-81). What hold_together chooses with the same error has limits on one side of nothing."""
    return float(norm.isf(max(chosen, 1) * error / statements))


def adjust(p_values: FloatArray, false_discovery_rate: float = 0.05) -> tuple[BoolArray, FloatArray]:
    """Which of many p-values stand, and their adjusted values, holding the false discovery rate. Shape (tests,)."""
    if p_values.size == 0:
        return np.zeros(0, dtype=bool), np.zeros(0)
    adjusted = np.asarray(false_discovery_control(p_values), dtype=float)
    return adjusted <= false_discovery_rate, adjusted
