"""The demands of a year to come that sizes are chosen on: the months on record, proved growth, announced prices.

Sizes are chosen on the mean of the demands, and what each of them would cost is shown (`demand_costs.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.carton_choice.growth import growth_table, ratios
from models.carton_choice.sizes import CostTable, Sizes
from models.carton_choice.supply import MONTHS_OF_A_YEAR
from models.carton_choice.year_words import ANNOUNCED, GROWTH, PAST

Weights = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class YearDemand:
    """Parcels of each class in a mean month: `now` by the prices of their days, `later` by those announced."""

    name: str
    now: Weights
    later: Weights

    @property
    def parcels(self) -> float:
        """Parcels of a mean month."""
        return float(self.now.sum() + self.later.sum())

    def cents(self, costs: CostTable) -> Sizes:
        """Cents a month in each size, of each class at the prices of its days, then of each at those announced."""
        parts = [(costs.cents, self.now), *([(costs.announced.cents, self.later)] if costs.announced else [])]
        return np.vstack([cents[weights > 0] * weights[weights > 0, None] for cents, weights in parts])


def year_demands(past: pd.DataFrame, sent: pd.DataFrame, costs: CostTable) -> tuple[YearDemand, ...]:
    """The demands that the months on record allow, that of these months first.

    past: usages of the months chosen on. sent: as for `growth_table`; of what came later nothing is known. Where all
    twelve months of the calendar are on record each of them counts alike, however often it is there. Item types whose
    growth is proved go on from their last twelve months. Parcels of a carrier with an announced list are priced by it
    from its day on, in the year after the last month.
    """
    months = pd.to_datetime(past["shipped_month"])
    parcels = past["parcel_count"] * months.map(_month_shares(months))
    found = [_demand(PAST, past, parcels, costs)]
    known = sent[pd.to_datetime(sent["shipped_month"]) <= months.max()]
    if grown := ratios(growth_table(known)):
        is_last = months > months.max() - pd.DateOffset(months=MONTHS_OF_A_YEAR)
        ratio = past["item_type"].astype(str).map(grown)
        led_on = past["parcel_count"] * ratio * is_last / MONTHS_OF_A_YEAR
        found.append(_demand(GROWTH, past, led_on.where(ratio.notna(), parcels), costs))
    announced = _demand(ANNOUNCED, past, parcels, costs, _share_after(past, months, costs))
    return (*found, announced) if announced.later.any() else tuple(found)


def mean_demand(demands: Sequence[YearDemand]) -> YearDemand:
    """The mean of the demands."""
    now, later = (np.mean([getattr(each, name) for each in demands], axis=0) for name in ("now", "later"))
    return YearDemand("mean", now, later)


def _demand(
    name: str, past: pd.DataFrame, parcels: pd.Series, costs: CostTable, after: pd.Series | float = 0.0
) -> YearDemand:
    at, count = past["class_key"] - 1, len(costs.cents)
    now, later = (np.bincount(at, parcels * share, minlength=count) for share in (1 - after, after))
    return YearDemand(name, now.astype(np.float64), later.astype(np.float64))


def _month_shares(months: pd.Series) -> dict[pd.Timestamp, float]:
    """What the parcels of each month count in a mean month."""
    every = pd.Series(sorted(months.unique()))
    calendar = every.dt.month
    alike = calendar.map(calendar.value_counts()) * MONTHS_OF_A_YEAR
    is_year = calendar.nunique() == MONTHS_OF_A_YEAR
    return dict(zip(every, 1 / alike if is_year else np.full(len(every), 1 / len(every)), strict=True))


def _share_after(past: pd.DataFrame, months: pd.Series, costs: CostTable) -> pd.Series | float:
    """Share of each usage's month, in the year after the last one, that lies under its carrier's announced list."""
    if costs.announced is None:
        return 0.0
    first = months.max() + pd.DateOffset(months=1)
    ahead = (months.dt.month - first.month) % MONTHS_OF_A_YEAR
    begins = ahead.map({each: first + pd.DateOffset(months=each) for each in range(MONTHS_OF_A_YEAR)})
    from_on = pd.Series(costs.announced.from_on[past["class_key"].to_numpy() - 1], past.index)
    left: pd.Series = (begins + pd.offsets.MonthBegin() - from_on).dt.days / begins.dt.days_in_month
    return left.clip(0, 1).fillna(0.0)
