"""Parcels that another service would carry for less."""

from __future__ import annotations

import pandas as pd

from models.actions.action import CARRIAGE, Action
from models.actions.savings import BY_TARIFF, Row
from models.rows import as_dicts

FACTS = ("item_type", "carrier", "service", "other_carrier", "other_service", "zone_low", "zone_high")
NAMED = ("item_type", "carrier", "service", "zone_low", "other_carrier", "other_service")


def service_actions(rules: pd.DataFrame) -> list[Action]:
    """One action per rule of services that the months held out bear out. rules: rows of analysis.service_rules."""
    return [_service(row) for row in as_dicts(rules[rules["is_advised"].astype(bool)])]


def _service(row: Row) -> Action:
    item, per_month = str(row["item_type"]), float(row["parcels_per_month"])
    low, high = (round(row[name] * per_month) for name in ("saving_low_cents", "saving_high_cents"))
    named = ", ".join(f"{name} {row[name]}" for name in NAMED if not pd.isna(row[name]))
    return Action(
        action_kind="other service",
        facts={name: row[name] for name in FACTS},
        confidence=BY_TARIFF,
        parcel_count=round(per_month),
        evidence=f"analysis.service_rules, {named}",
        month_cents={(item, CARRIAGE): int(row["service_month_cents"])},
        month_limits=(low, high),
        plan="services",
    )
