"""The margin's splits, bridge and guidance of the invented shop, from its parcels."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboards.word_columns import worded
from models.actions.action import CARRIAGE, Action
from models.analyses import actions, bridge, guidance
from models.analyses.question import Question
from models.money import columns_of
from models.plain_rows import as_dicts
from models.shop_units import Units
from tests.dashboards.parcels import MONTHS, held

BANDS = {"2": "zones up to 3", "3": "zones up to 3", "4": "zones 4 and 5", "5": "zones 4 and 5"}
COSTS = ["billed_cents", "carton_cents", "material_cents", "labour_cents"]


def margin_tables(costs: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """Every table that the sections on margin read."""
    cells = costs.assign(
        zone_band=costs["zone"].map(BANDS).fillna("zones 6 and more"),
        parcel_count=(~costs["is_account"]).astype(int),
        **{name: costs[name].fillna("unknown") for name in ("service", "zone")},
    )
    return {
        "marts.margin_by_channel": _split(cells, "marts.margin_by_channel", ["channel"]),
        "marts.margin_by_service": _split(cells, "marts.margin_by_service", ["carrier", "service"]),
        "marts.margin_by_zone": _split(cells, "marts.margin_by_zone", ["carrier", "zone", "zone_band"]),
        "marts.worst_parcels": _worst(costs),
        **bridge.compute(Question({"bridge_cells": cells}, MONTHS[-1].date())),
        "analysis.shipping_guidance": _advised(cells[~cells["is_account"]]),
        **_actions(),
    }


def _actions() -> dict[str, pd.DataFrame]:
    """A dozen actions of one kind, and one that brings money once."""
    units = [("tripod", CARRIAGE), ("mount", CARRIAGE), ("eyepiece", CARRIAGE)]
    found = [
        Action("carton", _better(unit[0], at), 0.9, 9, "evidence", {unit: 900}) for at, unit in enumerate(units * 4)
    ]
    file = {"claim_task": "file", "claim_count": 3}
    once = Action("claim", file, 0.6, 3, "marts.claim_deadlines", once_cents=42_000)
    rows = actions.ranked(actions.in_order([*found, once]))
    tables = {"analysis.actions": rows, "analysis.action_totals": actions.totals(rows, ["sizes to stock"])}
    return worded({name: held(name, as_dicts(table)) for name, table in tables.items()}, Units("USD"))


def _better(item_type: str, at: int) -> dict[str, str]:
    return {"item_type": item_type, "carton_code": f"C-0{at + 1}", "best_carton_code": f"C-0{at}"}


def _split(cells: pd.DataFrame, table: str, by: list[str]) -> pd.DataFrame:
    rows = cells.groupby(["shipped_month", *by]).sum(numeric_only=True).reset_index()
    count = rows["parcel_count"].where(rows["parcel_count"] > 0)
    per_parcel = {
        f"{name}_per_parcel_cents": (rows[column] / count).round()
        for name, column in (("carriage", "billed_cents"), ("margin", "margin_cents"))
    }
    return held(table, as_dicts(rows.assign(**per_parcel)))


def _worst(costs: pd.DataFrame) -> pd.DataFrame:
    parcels = costs[~costs["is_account"]].sort_values(["shipped_month", "margin_cents", "parcel_id"])
    place = parcels.groupby("shipped_month").cumcount() + 1
    return held("marts.worst_parcels", as_dicts(parcels.assign(place=place)[place <= 20]))


def _advised(cells: pd.DataFrame) -> pd.DataFrame:
    year = cells[cells["shipped_month"] > MONTHS[-1] - pd.DateOffset(months=12)]
    rows = [_level(key, part) for key, part in year.groupby(["item_type", "zone_band"])]
    found = guidance.guidance(held("marts.shipping_cost_levels", rows).rename(columns=guidance.PAST))
    return held("analysis.shipping_guidance", as_dicts(found))


def _level(key: Any, part: pd.DataFrame) -> dict[str, Any]:
    paid = (*columns_of("paid"), "margin_cents")
    costs = part[COSTS].sum(axis=1).astype(float)
    return {
        "item_type": key[0],
        "zone_band": key[1],
        "first_on": part["shipped_month"].min(),
        "last_on": part["shipped_month"].max(),
        "parcel_count": len(part),
        "past_median_cents": round(costs.quantile(0.5)),
        "past_high_cents": round(costs.quantile(0.8)),
        "damage_per_parcel_cents": round(part["damage_net_cents"].mean()),
        **{name: int(part[name].sum()) for name in paid},
    }
