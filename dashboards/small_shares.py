"""Shares of few parcels: written as counts, since one parcel more would move them by points."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dashboards import formats
from dashboards.values import FEWEST as FEWEST

if TYPE_CHECKING:
    import pandas as pd

PARCELS = "parcel_count"
# Shares of a row's parcels, and the count that each is the share of; those without one come from more than counts.
SHARES = {
    "surcharge_rate": "charged_parcel_count",
    "invoiced_share": "charged_count",
    "crude_damage_rate": "damage_count",
    "crude_claim_rate": "claim_count",
    **dict.fromkeys(("rate_low", "rate_high", "avoidable_share"), ""),
    **dict.fromkeys(("damage_rate", "damage_rate_low", "damage_rate_high"), ""),
    **dict.fromkeys(("shrunk_rate", "shrunk_low", "shrunk_high"), ""),
}
TOO_FEW = "too few"


def is_of_few(column: str, row: pd.Series[Any]) -> bool:
    """Whether the cell is a share of too few parcels to be written as one."""
    return column in SHARES and PARCELS in row.index and bool(row[PARCELS] < FEWEST)


def counts(column: str, row: pd.Series[Any]) -> str:
    """What stands in place of the share: 4 of 18, or that the parcels are too few."""
    among = SHARES[column]
    if among not in row.index or formats.is_unknown(row[among]):
        return TOO_FEW
    return f"{formats.count(row[among])} of {formats.count(row[PARCELS])}"


def enough(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows of parcels enough for a share."""
    return rows[(rows[PARCELS] >= FEWEST).to_numpy(bool)] if PARCELS in rows.columns else rows


def without_few(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows, with null for shares of too few parcels."""
    shares = [name for name in rows.columns if name in SHARES]
    if PARCELS not in rows.columns or not shares:
        return rows
    is_few = (rows[PARCELS] < FEWEST).to_numpy(bool)
    return rows.assign(**{name: rows[name].astype("Float64").mask(is_few) for name in shares})
