"""What to order of each carton in stock, and when: by what is left, what will be used, and the supplier's lead time."""

from dataclasses import dataclass
from math import ceil, inf
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.carton_choice.long_orders import extra_by_code, judged
from models.carton_choice.order_words import FOUND, NO_LEAD_TIME, NOT_LATELY, NOT_PAYING, ORDER_LATER, ORDER_NOW, SHORT
from models.carton_choice.reserve import reorder_level
from models.carton_choice.supply import MONTHS_OF_A_YEAR, PriceSteps, ordered, steps_by_code, whole
from models.carton_choice.use import YEAR_DAYS, Use
from models.plain_rows import as_dicts
from models.settings.cartons import Cartons

DAYS_OF_A_MONTH = YEAR_DAYS / MONTHS_OF_A_YEAR
NEXT_DAYS = 30
# States of an order that may turn out not to pay.
CALLED_OFF = (NO_LEAD_TIME, SHORT, ORDER_NOW, ORDER_LATER)
COLUMNS = (
    *("carton_code", "order_state", "stock_left", "on_hand", "counted_on", "packed_since_count"),
    *("unnamed_since_count", "last_used_on", "packed_to_on", "use_basis", "next_use", "runs_out_on"),
    *(
        "lead_time_days",
        "lead_time_use",
        "reserve_count",
        "reorder_at_count",
        "order_by_on",
        "order_count",
        "order_unit_cents",
        "order_cents",
    ),
    *("order_months", "order_basis", "storage_month_cents", "order_keep_cents"),
    *("order_extra_cents", "order_pays_months", "is_order_paying"),
)
Row = dict[str, Any]


@dataclass(frozen=True)
class Needed:
    """Of one carton. by_day: expected use of each of the next days, summed from `since_on`. left: None where unknown.

    since_on: last day of the bench log, or the day of the count where that is later.
    """

    by_day: NDArray[np.float64]
    left: float | None
    lead_days: int | None
    reorder_at: int | None
    since_on: pd.Timestamp | None = None

    @property
    def lead_use(self) -> float | None:
        """Pieces expected to be used until an order of today would be delivered."""
        return None if self.lead_days is None else self.until(self.lead_days)

    def until(self, days: float) -> float:
        """Pieces expected to be used over so many days, at most a year or the lead time."""
        at = min(ceil(days), len(self.by_day))
        return float(self.by_day[at - 1]) if at else 0.0

    def days_down_to(self, count: float) -> int | None:
        """Days until so many or fewer are expected to be left; None where that takes longer than is looked ahead."""
        if self.left is None or not len(self.by_day):
            return None
        spare = self.left - count
        at = int(np.searchsorted(self.by_day, spare)) + 1
        return 0 if spare <= 0 else at if at <= len(self.by_day) else None


def carton_orders(
    stock: pd.DataFrame, steps: pd.DataFrame, use: Use, settings: Cartons, substitutes: pd.DataFrame
) -> pd.DataFrame:
    """analysis.carton_orders: one row per carton of the catalogue.

    stock: rows of marts.carton_stock. steps: carton_code, minimum_quantity, unit_cost_cents of the price lists in
    force. substitutes: of analysis.carton_substitutes. No order is named where what is left or what will be used is
    unknown.
    """
    known, extra = steps_by_code(steps), extra_by_code(substitutes)
    found = [_row(row, known.get(str(row["carton_code"]), ()), use, settings) for row in as_dicts(stock)]
    rows = [_held_against(row, extra.get(row["carton_code"])) for row in found]
    return pd.DataFrame(rows, columns=list(COLUMNS)).sort_values("carton_code", ignore_index=True)


def _row(row: Row, steps: PriceSteps, use: Use, settings: Cartons) -> Row:
    code = str(row["carton_code"])
    needed = _needed(row, use, settings.service_level)
    state = _state(needed, use.is_known, use.is_silent(code), bool(row["is_recount_due"]))
    found: Row = {name: row[name] for name in COLUMNS if name in row} | {
        "order_state": state,
        "last_used_on": use.last_used_on(code),
        "packed_to_on": use.last_on,
        "use_basis": use.basis if use.is_known else None,
    }
    if state == NOT_LATELY or not use.is_known:
        return found
    return found | {"next_use": needed.until(NEXT_DAYS)} | _when(needed) | _order(row, needed, steps, settings)


def _needed(row: Row, use: Use, service_level: float) -> Needed:
    code, left, lead = str(row["carton_code"]), whole(row["stock_left"]), whole(row["lead_time_days"])
    if not use.is_known or use.last_on is None:
        return Needed(np.zeros(0), left, lead, None)
    counted_on = pd.Timestamp(row["counted_on"])
    since_on = use.last_on if pd.isna(counted_on) else max(use.last_on, counted_on)
    gone = (since_on - use.last_on).days
    by_day = np.cumsum(use.expected(code, gone + max(YEAR_DAYS, lead or 0))[gone:])
    plain = Needed(by_day, left, lead, None, since_on)
    if lead is None or plain.lead_use is None:
        return plain
    level = reorder_level(plain.lead_use, use.dispersion(code, lead), service_level)
    return Needed(by_day, left, lead, level, since_on)


def _state(needed: Needed, is_use_known: bool, is_silent: bool, is_recount_due: bool) -> str:
    """The first of FOUND that holds."""
    left, lead_use, reorder_at = (
        inf if each is None else each for each in (needed.left, needed.lead_use, needed.reorder_at)
    )
    is_true = (
        *(not is_use_known, needed.until(YEAR_DAYS) <= 0, is_recount_due, left == inf, left == 0),
        *(is_silent, lead_use == inf, left < lead_use, left <= reorder_at, True),
    )
    return FOUND[is_true.index(True)]


def _held_against(row: Row, extra_cents: float | None) -> Row:
    """The row with what another carton costs instead of an order that lasts longer than a year."""
    found = row | judged(row, extra_cents)
    is_called_off = found.get("is_order_paying") is False and row["order_state"] in CALLED_OFF
    return found | {"order_state": NOT_PAYING} if is_called_off else found


def _when(needed: Needed) -> Row:
    """When stock runs out and when to order."""
    if needed.since_on is None or needed.until(YEAR_DAYS) <= 0:
        return {}
    out = needed.days_down_to(0) if needed.left else None
    found: Row = {"runs_out_on": None if out is None else needed.since_on + pd.Timedelta(days=out)}
    if needed.lead_use is None or needed.reorder_at is None:
        return found
    due = needed.days_down_to(needed.reorder_at)
    return found | {
        "lead_time_use": needed.lead_use,
        "reserve_count": needed.reorder_at - min(round(needed.lead_use), needed.reorder_at),
        "reorder_at_count": needed.reorder_at,
        "order_by_on": None if due is None else needed.since_on + pd.Timedelta(days=due),
    }


def _order(row: Row, needed: Needed, steps: PriceSteps, settings: Cartons) -> Row:
    if needed.left is None or needed.until(YEAR_DAYS) <= 0:
        return {}
    missing = max(0.0, (needed.reorder_at or 0) - needed.left)
    wanted = needed.until(settings.stock_months * DAYS_OF_A_MONTH) + missing
    return ordered(row, steps, settings, needed.until(YEAR_DAYS), wanted, missing)
