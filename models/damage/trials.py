"""Trials at the bench: how many parcels one needs and how long, and which packing method each parcel is assigned.

Chance assigns, so that nothing else can: a hash of trial and sale, known before anything is packed and the same
whenever it is asked for; or, for a bench that follows no list, the week of shipping, one method after the other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any

import pandas as pd

from models.columns.trials import BY_WEEK
from models.damage.decision import parcels_per_arm

# So many more parcels than for one look at claims that vary by chance alone, so that looking at each month end, without
# knowing how much weeks vary, finds the difference as surely: the chance is 80 percent again, by sale or by week (by
# simulation: `python -m tests.benchmarks trials`).
FOR_MANY_LOOKS = 1.8
LONGEST_DAYS = 365
# Where the methods take turns by week, fewer weeks do not tell how much weeks vary (common practice, no source).
LEAST_WEEKS = 16


def parcels_needed(rate: float, expected_ratio: float) -> int | None:
    """Parcels of both methods together that show in four trials of five, looked at every month end, that the other
    method's damage rate is this share of the usual one; None where there is nothing to find."""
    each = parcels_per_arm(rate, min(rate * expected_ratio, 1.0))
    return None if each is None else 2 * math.ceil(FOR_MANY_LOOKS * each)


def days_needed(parcels: int, yearly_parcels: int) -> int | None:
    """Days until so many parcels are sent; None where none are sent."""
    return math.ceil(365 * parcels / yearly_parcels) if yearly_parcels > 0 else None


@dataclass(frozen=True)
class Arms:
    """Two packing methods for an item type: the usual one and the one that is tried."""

    trial_id: str
    usual_method: str
    other_method: str

    def of_sale(self, sale_id: str) -> str:
        """The method that parcels of this sale are assigned."""
        return self._either(self._is_odd(sale_id))

    def of_week(self, day: date) -> str:
        """The method of all parcels sent in the week of this day, Monday to Sunday: the two take turns."""
        week = (day.toordinal() - 1) // 7
        return self._either(self._is_odd("") ^ bool(week % 2))

    def _is_odd(self, name: str) -> bool:
        return bool(sha256(f"{self.trial_id}\n{name}".encode()).digest()[0] % 2)

    def _either(self, is_other: bool) -> str:
        return self.other_method if is_other else self.usual_method


def arms(trial: Mapping[Any, Any]) -> Arms:
    """The arms of a row of shop.trials or analysis.trials."""
    return Arms(str(trial["trial_id"]), str(trial["usual_method"]), str(trial["other_method"]))


def assignments(parcels: pd.DataFrame, trials: pd.DataFrame, today: date) -> pd.Series[Any]:
    """The packing method that trials assign parcels still to be packed; missing where none does.

    parcels: columns only_item_type (missing where a parcel holds several, which no trial counts) and sale_id. trials:
    rows of analysis.trials that run.
    """
    by_item_type = {row["item_type"]: row for row in trials.to_dict("records")}
    found = [
        _assigned(by_item_type.get(item_type), sale_id, today)
        for item_type, sale_id in zip(parcels["only_item_type"], parcels["sale_id"], strict=True)
    ]
    return pd.Series(found, index=parcels.index, dtype=object)


def _assigned(trial: Mapping[Any, Any] | None, sale_id: object, today: date) -> str | None:
    if trial is None or not trial["started_on"].date() <= today <= trial["planned_end_on"].date():
        return None
    if trial["assigned_by"] == BY_WEEK:
        return arms(trial).of_week(today)
    return arms(trial).of_sale(sale_id) if isinstance(sale_id, str) else None
