"""Small shops for tests of damage: what the marts of a few parcels and claims would hold, and the analyses of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import pandas as pd

from models.analyses import ANALYSES, Question
from models.contracts import validated
from models.tables import TABLES

Rows = Sequence[Mapping[str, Any]]
Made = list[dict[str, Any]]
Tables = dict[str, pd.DataFrame]
OURS = ("damage", "packing decisions", "changes judged", "alarms")
COSTS = [
    {"packing_method": "paper", "material_cents": 100, "pack_minutes": 5.0},
    {"packing_method": "foam", "material_cents": 400, "pack_minutes": 10.0},
]
CELL: dict[str, Any] = {"item_type": "tripod", "packing_method": "paper"}
CELL |= {"carrier": "Northline", "service": "ground", "zone_band": "near"}
COUNTS: dict[str, Any] = {"parcel_count": 1, "damage_count": 0, "loss_count": 0, "other_claim_count": 0}
ON_TRIAL = ("trial_id", "parcel_id", "shipped_on", "assigned_method", "packing_method")
LOSS: dict[str, Any] = {"claim_cause": "damage", "claim_state": "refused", "claimed_cents": 10_000, "paid_cents": 0}


def parcels(count: int, days: int = 240, **more: Any) -> Made:
    """So many parcels, spread over the days from 2026-01-01."""
    first = pd.Timestamp("2026-01-01")
    return [CELL | {"shipped_on": first + pd.Timedelta(days=at * days // count)} | more for at in range(count)]


def claims(sent: Rows, lag_days: int = 10, **more: Any) -> Made:
    """A claim for each parcel given, reported so many days after shipping."""
    return [
        {name: row[name] for name in (*CELL, "shipped_on")}
        | {"opened_on": row["shipped_on"] + pd.Timedelta(days=lag_days), "reporting_lag_days": lag_days}
        | LOSS
        | {"claim_cost_cents": 10_000}
        | more
        for row in sent
    ]


def question(
    sent: Rows,
    claimed: Rows = (),
    *,
    as_of: str = "2026-12-31",
    costs: Rows = tuple(COSTS),
    carriage: Rows = (),
    decided: Rows = (),
    weekly: Rows = (),
    surcharged: Rows = (),
    acknowledged: Sequence[str] = (),
    trials: Rows = (),
    on_trial: Rows = (),
    worths: Rows = (),
    claimed_worths: Rows = (),
    **options: Any,
) -> Question:
    """What the analyses are asked of this shop. carriage, decided, weekly, surcharged, trials, on_trial,
    worths, claimed_worths: rows of the tables they read. Claims are on record up to `as_of`, where nothing else is
    stated: few of these shops have them come as buyers report them."""
    keys = [*CELL, "shipped_on"]
    cells = frame("marts.exposure_cells", [dict(row) | COUNTS for row in sent])
    cells = cells.groupby(keys, as_index=False)[list(COUNTS)].sum() if len(cells) else cells
    losses = [dict(row) | {"claim_id": f"C{at}", "parcel_id": f"P{at}"} for at, row in enumerate(claimed)]
    wages = [{"clearance_in": 1.0, "wage_cents_per_hour": 2_400} | dict(row) for row in costs]
    names = ["packing_method", "material_cents", "pack_minutes", "clearance_in", "wage_cents_per_hour"]
    tables = {
        "marts.exposure_cells": cells,
        "marts.claim_losses": frame("marts.claim_losses", losses),
        "packing_costs": pd.DataFrame(wages, columns=names),
        "goods_worths": pd.DataFrame(
            list(worths), columns=["item_type", "shipped_month", "parcel_count", "worth_cents"]
        ),
        "claimed_worths": pd.DataFrame(list(claimed_worths), columns=["parcel_id", "worth_cents"]),
        "analysis.method_carriage": frame("analysis.method_carriage", carriage),
        "shop.decisions": frame("shop.decisions", decided),
        "shop.trials": frame("shop.trials", trials),
        "trial_parcels": pd.DataFrame(list(on_trial), columns=list(ON_TRIAL)),
        "marts.weekly_charges": frame("marts.weekly_charges", weekly),
        "marts.weekly_surcharges": frame("marts.weekly_surcharges", surcharged),
        "shop.acknowledgements": frame("shop.acknowledgements", [{"alarm_id": name} for name in acknowledged]),
    }
    today = date.fromisoformat(as_of)
    return Question(tables, today, {"damage": {"claims_to": today} | options})


def frame(table: str, rows: Rows) -> pd.DataFrame:
    """Rows as the engine hands over a table: every column of its contract, days as dates."""
    made = pd.DataFrame(list(rows), columns=list(TABLES[table].columns))
    days = [name for name in made if str(name).endswith("_on")]
    return made.assign(**{str(name): pd.to_datetime(made[name]) for name in days})


def answered(asked: Question, *wanted: str) -> Tables:
    """Every table of the damage analyses (or of those wanted), each held to its contract."""
    ours = [each for each in ANALYSES if each.name in (wanted or OURS)]
    return {
        name: validated(rows, TABLES[name], "this test") for each in ours for name, rows in each.compute(asked).items()
    }


def decision(item_type: str, changed_on: str, **more: Any) -> dict[str, Any]:
    """A logged change without a verdict."""
    said = {"decision_id": item_type, "item_type": item_type, "changed_on": changed_on, "expected_ratio": 0.5}
    return said | {"change_made": "foam instead of paper", "reason_given": "cheaper", "change_reason": "planned"} | more


def only(rows: pd.DataFrame, **wanted: Any) -> dict[str, Any]:
    """The one row with these values."""
    for name, value in wanted.items():
        rows = rows[rows[name] == value]
    assert len(rows) == 1, f"{len(rows)} rows with {wanted}"
    return {str(name): value for name, value in rows.iloc[0].items()}
