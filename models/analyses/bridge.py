"""The bridge from one period's margin to another's: what each change was worth, adding up to the cent.

Parcels are compared in cells of item type, carrier, service and zone band; models/analyses/bridge_steps.py says what
each step is. Money that names no parcel is a step of its own. Steps are computed in floating point and rounded to whole
cents by largest remainder, so that they add up exactly.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.analyses.bridge_steps import ACCOUNT, GIVEN, KINDS, STEPS, VOLUME, Cells, Numbers, parts_of
from models.analyses.question import Question, answer

CELL = ["item_type", "carrier", "service", "zone_band"]
TABLE = "analysis.margin_bridge"
TOTAL, ALL_GOODS, NOBODY = "all steps", "all goods", "none"


def bridge(before: pd.DataFrame, after: pd.DataFrame) -> pd.DataFrame:
    """The bridge between any two periods.

    before, after: rows with CELL, `parcel_count` and all cents of marts.margin_cells; rows of one cell are summed.
    Returns analysis.margin_bridge without a month: one row per step of STEPS, and TOTAL at the end. `from_cents` is the
    sum of the steps before, `margin_reached_cents` the margin before plus all steps so far. Either period may be empty.
    """
    rows = pd.concat([before, after], ignore_index=True)
    return _periods(rows, np.repeat([0, 1], [len(before), len(after)]), 2).bridge(0, 1)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.margin_bridge: each month against the month before it in the records."""
    cells = question.table("bridge_cells")
    period, months = pd.factorize(cells["shipped_month"], sort=True)
    periods = _periods(cells, period, len(months))
    found = [periods.bridge(at - 1, at).assign(shipped_month=months[at]) for at in range(1, len(months))]
    return {TABLE: answer(TABLE, pd.concat(found) if found else ())}


@dataclass(frozen=True)
class _Periods:
    """Cells in order, each with its item type. parcels: periods x cells; money: periods x cells x kinds, none for cells
    without a parcel. margins, accounts: by period, of all rows and of what names no parcel, in cents.
    """

    item_types: NDArray[np.object_]
    parcels: NDArray[np.int64]
    money: NDArray[np.int64]
    margins: Sequence[int]
    accounts: Sequence[int]

    def bridge(self, before: int, after: int) -> pd.DataFrame:
        """The bridge between two of the periods."""
        cells = self._side_by_side(before, after)
        parts = parts_of(cells)
        margins = (self.margins[before], self.margins[after])
        sums = dict(zip(STEPS, parts.sum(axis=0), strict=True))
        sums[ACCOUNT] = float(self.accounts[after] - self.accounts[before])
        changes = _whole(list(sums.values()), margins[1] - margins[0])
        return _rows(margins, changes, parts, cells)

    def _side_by_side(self, before: int, after: int) -> Cells:
        sent = (self.parcels[before] > 0) | (self.parcels[after] > 0)
        item_types, items = np.unique(self.item_types[sent], return_inverse=True)
        parcels, money = self.parcels[:, sent].astype(float), self.money[:, sent].astype(float)
        return Cells(items, list(item_types), parcels[before], parcels[after], money[before], money[after])


def _periods(rows: pd.DataFrame, period: NDArray[np.int64], count: int) -> _Periods:
    """The cells of `count` periods. period: which of them each row belongs to."""
    cell = rows.groupby(CELL).ngroup().to_numpy(dtype=np.int64)
    item_types = rows["item_type"].groupby(cell).first().to_numpy(dtype=object)
    parcels = np.zeros((count, len(item_types)), dtype=np.int64)
    money = np.zeros((*parcels.shape, len(KINDS)), dtype=np.int64)
    np.add.at(parcels, (period, cell), rows["parcel_count"].to_numpy(dtype=np.int64))
    np.add.at(money, (period, cell), _money(rows))
    margins = money.sum(axis=(1, 2))
    money[parcels == 0] = 0
    accounts = margins - money.sum(axis=(1, 2))
    return _Periods(item_types, parcels, money, margins.tolist(), accounts.tolist())


def _money(rows: pd.DataFrame) -> NDArray[np.int64]:
    """Rows x kinds, each kind's sign that of the margin."""
    kinds = [rows[list(signs)].to_numpy(dtype=np.int64) @ np.array([*signs.values()]) for signs in KINDS.values()]
    return np.stack(kinds, axis=1)


def _whole(amounts: Sequence[float], total: int) -> list[int]:
    """Whole cents that add up to the total: rounded down, the cents left over to the largest remainders."""
    floors = np.floor(np.asarray(amounts, dtype=float))
    ranked = np.argsort(floors - np.asarray(amounts, dtype=float), kind="stable")
    whole = [int(floor) for floor in floors]
    each, left = divmod(total - sum(whole), len(whole))
    return [cents + each + int(at in set(ranked[:left])) for at, cents in enumerate(whole)]


def _rows(totals: tuple[int, int], changes: Sequence[int], parts: Numbers, cells: Cells) -> pd.DataFrame:
    starts = np.cumsum([0, *changes])[:-1]
    steps = [
        {
            "bridge_step": step,
            "margin_step_change_cents": change,
            "from_cents": int(start),
            "margin_reached_cents": totals[0] + int(start) + change,
            "is_actionable": step not in GIVEN,
            **_main(step, change, parts[:, at], cells),
        }
        for at, (step, change, start) in enumerate(zip(STEPS, changes, starts, strict=True))
    ]
    change = totals[1] - totals[0]
    ends = {
        "bridge_step": TOTAL,
        "margin_step_change_cents": change,
        "from_cents": 0,
        "margin_reached_cents": totals[1],
        "is_actionable": False,
    }
    rows = pd.DataFrame([*steps, {**ends, **_main(TOTAL, change, np.zeros(0), cells)}])
    rows.insert(0, "step_number", range(1, len(rows) + 1))
    return rows.assign(compared_share=_compared(cells))


def _compared(cells: Cells) -> float | None:
    sent = cells.after.sum()
    return float(cells.after[cells.before > 0].sum() / sent) if sent else None


def _main(step: str, change: int, parts: Numbers, cells: Cells) -> dict[str, Any]:
    """The item type whose part goes furthest in the step's own direction."""
    if not change:
        return {"main_item_type": NOBODY, "main_item_change_cents": 0}
    if step in (VOLUME, ACCOUNT, TOTAL):
        return {"main_item_type": ALL_GOODS, "main_item_change_cents": change}
    at = int(np.argmax(parts * np.sign(change)))
    return {"main_item_type": cells.item_types[at], "main_item_change_cents": round(float(parts[at]))}
