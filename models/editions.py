"""Editions of a month's report: a correction that comes later makes a new one, which says what changed."""

import datetime as dt
import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd

# What a month's report states as its facts. Tables that look over many months change with every month.
FACTS = (
    *("marts.shipping_margin", "marts.item_type_costs", "marts.surcharge_frequency", "marts.damage_counts"),
    "marts.coverage",
)
# These compare with another month, so a correction there must not look like one here.
COMPARING = ("margin_change_cents",)
HEADLINES = {
    "marts.shipping_margin": (
        *("parcel_count", "shipping_charged_cents", "billed_cents", "surcharge_cents", "adjustment_cents"),
        *("carton_cents", "material_cents", "labour_cents", "damage_net_cents", "margin_cents"),
    ),
    "marts.coverage": ("invoiced_share",),
}
Amounts = dict[str, float | None]


def report_name(month: dt.date) -> str:
    """Under which name the editions of a month's review are numbered."""
    return f"review {month:%Y-%m}"


def fingerprint(tables: Mapping[str, pd.DataFrame], month: dt.date) -> str:
    """A digest of the month's facts: equal where every cell of them is equal, whatever the order of rows or tables."""
    facts = {name: sorted(_lines(_of_month(tables, name, month))) for name in FACTS}
    return hashlib.sha256(json.dumps(facts).encode()).hexdigest()


def _of_month(tables: Mapping[str, pd.DataFrame], name: str, month: dt.date) -> pd.DataFrame:
    rows = tables.get(name, pd.DataFrame())
    if rows.empty:
        return rows
    chosen = rows[pd.to_datetime(rows["shipped_month"]) == pd.Timestamp(month)]
    return chosen.drop(columns=[column for column in COMPARING if column in chosen.columns])


def _lines(rows: pd.DataFrame) -> Iterator[str]:
    for row in rows.to_dict(orient="records"):
        yield json.dumps({str(name): _plain(cell) for name, cell in row.items()}, sort_keys=True)


def _plain(cell: Any) -> Any:
    if pd.isna(cell):
        return None
    if isinstance(cell, dt.date):
        return f"{cell:%Y-%m-%d}"
    return cell.item() if hasattr(cell, "item") else cell


def headline(tables: Mapping[str, pd.DataFrame], month: dt.date) -> Amounts:
    """The month's headline amounts by column, null where unknown; kept so that a later edition can be compared."""
    found: Amounts = {}
    for name, columns in HEADLINES.items():
        rows = _of_month(tables, name, month)
        for column in columns:
            cell = None if rows.empty else _plain(rows.iloc[0][column])
            found[column] = None if cell is None else float(cell)
    return found


def changes(before: Mapping[str, float | None], after: Mapping[str, float | None]) -> pd.DataFrame:
    """One row per headline amount that differs: measure, amount_before, amount_after; in the order of `after`."""
    rows = [(name, before.get(name), amount) for name, amount in after.items() if before.get(name) != amount]
    return pd.DataFrame(rows, columns=["measure", "amount_before", "amount_after"])
