"""The bridge from one period's margin to another's: what each change was worth, adding up to the cent.

Parcels are compared in cells of item type, carrier, service and zone band. With n parcels, margin m per parcel, before
and after:

- parcels sent: the change of n at the margin per parcel before;
- mix of item types: each item type's gain or loss of share at its own margin per parcel before, against the average;
- mix of services and zones: the same within each item type, cell by cell, for carriage, fuel and surcharges;
- every other step: the change of one kind of money per parcel, for the parcels sent after: within the cells for
  carriage, fuel and surcharges, within item types for the rest.

A cell, or item type, without parcels before has no money per parcel to compare with: its own of afterwards stands in,
so that all of it counts as mix. Money that names no parcel is a step of its own. Steps are computed in floating point
and rounded to whole cents by largest remainder, so that they add up exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from models.analyses.question import Question
from models.money import MONEY

Numbers = NDArray[np.float64]
CELL = ["item_type", "carrier", "service", "zone_band"]
VOLUME, ITEM_MIX, LANE_MIX = "parcels sent", "mix of item types", "mix of services and zones"
# The columns of each step with their signs; together they are the margin.
KINDS: Mapping[str, Mapping[str, int]] = {
    step: {each.column: each.sign for each in MONEY if each.step == step}
    for step in dict.fromkeys(each.step for each in MONEY)
}
# Only carriage has its price by service and zone; all else differs by item type, and a claim or a correction is too
# rare for one cell's mean to say anything of the next.
LANE_PRICED = np.array([kind in ("base price", "fuel", "surcharges") for kind in KINDS])
ACCOUNT = "charges without a parcel"
STEPS = (VOLUME, ITEM_MIX, LANE_MIX, *KINDS, ACCOUNT)
TOTAL, ALL_GOODS, NOBODY = "all steps", "all goods", "none"
COLUMNS = (
    "step_number",
    "bridge_step",
    "margin_step_change_cents",
    "from_cents",
    "margin_reached_cents",
    "main_item_type",
    "main_item_change_cents",
    "compared_share",
)


@dataclass(frozen=True)
class _Cells:
    """Cells of two periods side by side. before, after: parcels. money: cells x kinds. items: each cell's item type."""

    items: NDArray[np.intp]
    item_types: Sequence[str]
    before: Numbers
    after: Numbers
    money_before: Numbers
    money_after: Numbers


def bridge(before: pd.DataFrame, after: pd.DataFrame) -> pd.DataFrame:
    """The bridge between any two periods.

    before, after: rows with CELL, `parcel_count` and all cents of marts.margin_cells; rows of one cell are summed.
    Returns COLUMNS: one row per step of STEPS, and TOTAL at the end. `from_cents` is the sum of the steps before,
    `margin_reached_cents` the margin before plus all steps so far. Either period may be empty.
    """
    rows = pd.concat([before, after], ignore_index=True)
    return _periods(rows, np.repeat([0, 1], [len(before), len(after)]), 2).bridge(0, 1)


def compute(question: Question) -> dict[str, pd.DataFrame]:
    """analysis.margin_bridge: each month against the month before it in the records."""
    cells = question.table("bridge_cells")
    period, months = pd.factorize(cells["shipped_month"], sort=True)
    periods = _periods(cells, period, len(months))
    found = [periods.bridge(at - 1, at).assign(shipped_month=months[at]) for at in range(1, len(months))]
    names = ["shipped_month", *COLUMNS]
    return {"analysis.margin_bridge": pd.concat(found)[names] if found else pd.DataFrame(columns=names)}


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
        parts = _parts(cells)
        margins = (self.margins[before], self.margins[after])
        change = self.accounts[after] - self.accounts[before]
        changes = _whole([*parts.sum(axis=0), change], margins[1] - margins[0])
        return _rows(margins, changes, parts, cells)

    def _side_by_side(self, before: int, after: int) -> _Cells:
        sent = (self.parcels[before] > 0) | (self.parcels[after] > 0)
        item_types, items = np.unique(self.item_types[sent], return_inverse=True)
        parcels, money = self.parcels[:, sent].astype(float), self.money[:, sent].astype(float)
        return _Cells(items, list(item_types), parcels[before], parcels[after], money[before], money[after])


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


def _parts(cells: _Cells) -> Numbers:
    """Item types x steps (all but the account step), in cents, not yet rounded."""
    parts = np.zeros((len(cells.item_types), len(STEPS) - 1))
    if not len(cells.items):
        return parts
    was, now = _by_item(cells.before, cells), _by_item(cells.after, cells)
    of_items = _per_parcel(_by_item(cells.money_before, cells), was, _by_item(cells.money_after, cells), now)
    of_cells = _per_parcel(cells.money_before, cells.before, cells.money_after, cells.after)
    usual = np.where(LANE_PRICED, of_cells, of_items[cells.items])
    parts[:, :2] = _volume_and_item_mix(cells, was, now, of_items.sum(axis=1))
    moved = cells.after - _expected(cells, was, now)
    parts[:, 2] = _by_item(moved * (usual - of_items[cells.items]).sum(axis=1), cells)
    parts[:, 3:] = _by_item(cells.money_after - cells.after[:, None] * usual, cells)
    return parts


def _per_parcel(before: Numbers, was: Numbers, after: Numbers, now: Numbers) -> Numbers:
    """Money per parcel before; where no parcel was sent before, that of afterwards. before, after: n x kinds."""
    counts = np.where(was > 0, was, now)[:, None]
    return np.where(was[:, None] > 0, before, after) / np.maximum(counts, 1)


def _volume_and_item_mix(cells: _Cells, was: Numbers, now: Numbers, means: Numbers) -> Numbers:
    """Item types x 2. The volume step belongs to no item type; it is spread by the parcels before, or else after."""
    one, two = was.sum(), now.sum()
    shares = was / one if one else now / two
    mean = float(shares @ means)
    return np.stack([(two - one) * mean * shares, (now - two * shares) * (means - mean)], axis=1)


def _expected(cells: _Cells, was: Numbers, now: Numbers) -> Numbers:
    """Parcels of each cell had its item type kept its services and zones; those of afterwards where it is new."""
    before, after = was[cells.items], now[cells.items]
    return np.where(before > 0, cells.before / np.maximum(before, 1) * after, cells.after)


def _by_item(amounts: Numbers, cells: _Cells) -> Numbers:
    """Sums over the cells of each item type. amounts: cells, or cells x kinds."""
    sums = np.zeros((len(cells.item_types), *amounts.shape[1:]))
    np.add.at(sums, cells.items, amounts)
    return sums


def _whole(amounts: Sequence[float], total: int) -> list[int]:
    """Whole cents that add up to the total: rounded down, the cents left over to the largest remainders."""
    floors = np.floor(np.asarray(amounts, dtype=float))
    ranked = np.argsort(floors - np.asarray(amounts, dtype=float), kind="stable")
    whole = [int(floor) for floor in floors]
    each, left = divmod(total - sum(whole), len(whole))
    return [cents + each + int(at in set(ranked[:left])) for at, cents in enumerate(whole)]


def _rows(totals: tuple[int, int], changes: Sequence[int], parts: Numbers, cells: _Cells) -> pd.DataFrame:
    starts = np.cumsum([0, *changes])[:-1]
    steps = [
        {
            "bridge_step": step,
            "margin_step_change_cents": change,
            "from_cents": int(start),
            "margin_reached_cents": totals[0] + int(start) + change,
            **_main(step, change, parts[:, at : at + 1].ravel(), cells),
        }
        for at, (step, change, start) in enumerate(zip(STEPS, changes, starts, strict=True))
    ]
    change = totals[1] - totals[0]
    ends = {
        "bridge_step": TOTAL,
        "margin_step_change_cents": change,
        "from_cents": 0,
        "margin_reached_cents": totals[1],
    }
    rows = pd.DataFrame([*steps, {**ends, **_main(TOTAL, change, np.zeros(0), cells)}])
    return rows.assign(step_number=range(1, len(rows) + 1), compared_share=_compared(cells))[list(COLUMNS)]


def _compared(cells: _Cells) -> float | None:
    sent = cells.after.sum()
    return float(cells.after[cells.before > 0].sum() / sent) if sent else None


def _main(step: str, change: int, parts: Numbers, cells: _Cells) -> dict[str, Any]:
    """The item type whose part goes furthest in the step's own direction."""
    if not change:
        return {"main_item_type": NOBODY, "main_item_change_cents": 0}
    if step in (VOLUME, ACCOUNT, TOTAL):
        return {"main_item_type": ALL_GOODS, "main_item_change_cents": change}
    at = int(np.argmax(parts * np.sign(change)))
    return {"main_item_type": cells.item_types[at], "main_item_change_cents": round(float(parts[at]))}
