"""Parcels that another service would carry for less."""

import pandas as pd

from models.actions.action import CARRIAGE, Action
from models.actions.savings import Row, chance_above_zero
from models.plain_rows import as_dicts

FACTS = ("item_type", "carrier", "service", "other_carrier", "other_service", "zone_low", "zone_high")
NAMED = ("item_type", "carrier", "service", "zone_low", "other_carrier", "other_service")


def service_actions(rules: pd.DataFrame) -> list[Action]:
    """One action per rule of services that the months held out bear out. rules: rows of analysis.service_rules."""
    return [_service(row) for row in as_dicts(rules[rules["is_advised"].astype(bool)])]


def _service(row: Row) -> Action:
    item, per_month = str(row["item_type"]), float(row["parcels_per_month"])
    low, high = (round(row[name] * per_month) for name in ("saving_low_cents", "saving_high_cents"))
    return Action(
        action_kind="other service",
        facts={name: row[name] for name in FACTS},
        confidence=_chance(row),
        parcel_count=round(per_month),
        evidence=rule_evidence(row),
        month_cents={(item, CARRIAGE): int(row["service_month_cents"])},
        month_limits=(low, high),
        plan="services",
    )


def rule_evidence(row: Row) -> str:
    """The rule's table and key."""
    return f"analysis.service_rules, {', '.join(f'{name} {row[name]}' for name in NAMED if not pd.isna(row[name]))}"


def _chance(row: Row) -> float:
    """Chance that it saves at all, by the weeks held out; what learned prices may be off counts against it."""
    within = float(row["learned_within_cents"]) / max(1, int(row["held_out_parcel_count"]))
    width = float(row["saving_high_cents"]) - float(row["saving_low_cents"])
    return chance_above_zero(float(row["saving_per_parcel_cents"]) - within, width, 0.95)
