"""What is missing of the invented shop's months, and its months completed, from its margin and coverage."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pandas as pd

from models.plain_rows import as_dicts
from tests.dashboards.parcels import held

# Of this order an interval is wide: a tenth of what is to come, either way.
REACH = 0.1


def completion_tables(margin: pd.DataFrame, coverage: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """marts.record_gaps and analysis.completed_months."""
    rows = margin.merge(coverage[["shipped_month", "charged_count"]], on="shipped_month")
    months = as_dicts(rows[["shipped_month", "parcel_count", "charged_count", "margin_cents", "billed_cents"]])
    completed = [_completed(row) for row in months]
    for before, now in pairwise(completed):
        change = now["completed_margin_cents"] - before["completed_margin_cents"]
        reach = round(REACH * (now["carriage_to_come_cents"] + before["carriage_to_come_cents"]))
        now["completed_change_cents"] = change
        now["change_low_cents"], now["change_high_cents"] = change - reach, change + reach
    return {
        "marts.record_gaps": held("marts.record_gaps", [gap for row in months for gap in _gaps(row)]),
        "analysis.completed_months": held("analysis.completed_months", completed),
    }


def _completed(row: dict[str, Any]) -> dict[str, Any]:
    missing = row["parcel_count"] - row["charged_count"]
    to_come = round(row["billed_cents"] / row["charged_count"]) * missing
    made, reach = row["margin_cents"] - to_come, round(REACH * to_come)
    return {
        **{name: row[name] for name in ("shipped_month", "parcel_count", "margin_cents", "billed_cents")},
        "unbilled_count": missing,
        "unpriced_count": 0,
        "sales_to_ship_count": 0,
        "income_to_come_cents": 0,
        "carriage_to_come_cents": to_come,
        "carriage_to_come_low_cents": to_come - reach,
        "carriage_to_come_high_cents": to_come + reach,
        "packing_to_come_cents": 0,
        "damage_to_come_cents": 0,
        "damage_to_come_low_cents": 0,
        "damage_to_come_high_cents": 0,
        "recovery_to_come_cents": 0,
        "completed_margin_cents": made,
        "completed_per_parcel_cents": round(made / row["parcel_count"]),
        "completed_low_cents": made - reach,
        "completed_high_cents": made + reach,
        "completed_change_cents": None,
        "change_low_cents": None,
        "change_high_cents": None,
        "billed_part": row["billed_cents"] / (row["billed_cents"] + to_come),
        "is_completed": not missing,
    }


def _gaps(row: dict[str, Any]) -> list[dict[str, Any]]:
    due, missing = row["parcel_count"], row["parcel_count"] - row["charged_count"]
    found = {"sales without a parcel": (due, 0, 0), "parcels without a bill": (due, missing, 3_100 * missing)}
    return [
        {
            "shipped_month": row["shipped_month"],
            "gap": gap,
            "due_count": of,
            "missing_count": count,
            "valued_count": count,
            "missing_cents": cents,
        }
        for gap, (of, count, cents) in found.items()
    ]
