"""A claim's facts: what the shop's texts may name, and the whole sheet as plain values for --json."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from dashboards import values
from dashboards.claim_sheet import Row, shown, sides
from models.claims.sheet import KEEP, Sheet
from models.claims.texts import NOT_KNOWN
from models.shop_units import Units, measure_of


def facts(sheet: Sheet, units: Units, shop_name: str) -> dict[str, str]:
    """What the shop's texts may name (models/claims/texts.py); what no record says is left out."""
    claim = sheet.claim or {}
    claimed = claim.get("claimed_cents") if claim.get("claimed_cents") is not None else sheet.claimable_cents
    goods = [f"{row['packed_quantity']} x {values.plain(row['item_type'])}" for row in sheet.goods]
    found = {
        **{
            name: shown(sheet.parcel[name], name, units)
            for name in ("carrier", "service", "shipped_on", "packing_method")
        },
        "parcel": values.plain(sheet.parcel["parcel_id"]),
        "carton": shown(sheet.parcel["carton_code"], "carton_code", units),
        "cause": values.plain(claim.get("claim_cause") or ""),
        "opened_on": shown(claim.get("opened_on"), "opened_on", units),
        "goods": ", ".join(goods),
        "sides": sides(sheet, units),
        "weight": shown(sheet.parcel["scale_weight_lb"], "scale_weight_lb", units),
        "declared_value": shown(sheet.parcel["declared_value_cents"], "declared_value_cents", units),
        "invoices": ", ".join(dict.fromkeys(values.plain(row["invoice_number"]) for row in sheet.lines)),
        "claimed": shown(claimed, "claimed_cents", units),
        "evidence": ", ".join(f"{count} {kind}" for kind, count in sheet.kept.items() if count) or "none yet",
        "photographs": "\n".join(f"- {line}" for line in sheet.to_ask) or "- nothing more: thank you, all is here",
        "reply_by": values.day(sheet.reply_by),
        "shop": shop_name,
    }
    return {name: text for name, text in found.items() if text not in ("", NOT_KNOWN)}


def plain_values(sheet: Sheet, units: Units) -> dict[str, Any]:
    """The sheet for --json: amounts in minor units, measures in the shop's units under its names, days as text."""
    due = sheet.next_step
    return {
        "made_on": sheet.made_on.isoformat(),
        "currency": units.currency,
        "parcel": _json(sheet.parcel, units, without=("tariff_key",)),
        "goods": [_json(row, units) for row in sheet.goods],
        "invoice_lines": [_json(row, units) for row in sheet.lines],
        "claims": [_json(row, units) for row in sheet.claims],
        "deadlines": [
            {
                "step": each.step,
                "state": each.state,
                "due_on": each.due_on.isoformat() if each.due_on else None,
                "days_left": each.days_left,
                "missing": each.missing or None,
            }
            for each in sheet.deadlines
        ],
        "next": {"step": due.step, "due_on": due.due_on.isoformat()} if due and due.due_on else None,
        "evidence": dict(sheet.kept),
        "evidence_missing": sheet.missing,
        "evidence_folder": sheet.folder or None,
        "ask_the_buyer": sheet.to_ask,
        "ways": [asdict(way) | {"cost_less_fee": way.cost_less_fee} for way in sheet.ways],
        "recovery": asdict(sheet.recovery) if sheet.recovery else None,
        "recovery_by_evidence": {kind: asdict(each) for kind, each in sheet.by_evidence},
        "lesson": asdict(sheet.lesson) if sheet.lesson else None,
        "rules_broken": list(sheet.rules_broken),
        "keep": list(KEEP),
        "cautions": sheet.cautions,
        "texts": dict(sheet.texts),
    }


def _json(row: Row, units: Units, without: Sequence[str] = ()) -> dict[str, Any]:
    return {
        units.name(name): units.value(name, value) if measure_of(name) and value is not None else _plain(value)
        for name, value in row.items()
        if name not in without
    }


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, dt.date) else value
