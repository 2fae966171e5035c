"""Which of two packing methods a parcel of a trial at the bench is assigned.

Chance assigns, so that nothing else can: a hash of trial and sale, known before anything is packed and the same
whenever it is asked for; or, for a bench that follows no list, the week of shipping, one method after the other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any

import pandas as pd

from models.columns.trials import BY_WEEK


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
