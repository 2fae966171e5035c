"""Parcels of an invented shop, one row each, drawn with a fixed seed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from models.contracts import validated
from models.money import columns_of
from models.tables import TABLES

MONTHS = pd.date_range("2025-05-01", "2026-10-01", freq="MS")
ITEM_TYPES = ("optical tube", "tripod", "mount", "rocker base", "eyepiece")
METHODS = ("foam", "paper", "twin wall")
CHARGES = ("base_cents", "fuel_cents", "surcharge_cents", "adjustment_cents", "tax_cents", "credit_cents")
PACKING = ("carton_cents", "material_cents", "labour_cents")
REDUCING = ("damage_net_cents", "fee_on_shipping_cents", "shipping_refunded_cents")
# Cents per parcel, by item type: plain carriage, shipping charged.
PRICES = {"optical tube": (2480, 4300), "tripod": (1720, 2900), "mount": (1650, 3350), "rocker base": (3900, 5200)}

Rows = list[dict[str, Any]]


def held(table: str, rows: Rows) -> pd.DataFrame:
    """The rows as a frame that keeps the table's contract."""
    schema = TABLES[table]
    frame = pd.DataFrame(rows, columns=list(schema.columns))
    return validated(frame, schema, "tests of the page")


def empty(table: str) -> pd.DataFrame:
    """The table without rows."""
    return held(table, [])


def parcels() -> pd.DataFrame:
    """One row per parcel of eighteen months, and one account fee."""
    draw = np.random.default_rng(47)
    rows = [_parcel(draw, month, at) for month in MONTHS for at in range(int(draw.integers(70, 110)))]
    return held("marts.parcel_costs", [*rows, _account_fee()])


def _parcel(draw: np.random.Generator, month: pd.Timestamp, at: int) -> dict[str, Any]:
    item_type = str(draw.choice(ITEM_TYPES, p=[0.25, 0.2, 0.15, 0.1, 0.3]))
    carriage, charged = PRICES.get(item_type, (820, 990))
    base = int(carriage * draw.uniform(0.8, 1.3))
    row = {
        **dict.fromkeys(columns_of("costs"), 0),
        "parcel_id": f"NL{month:%y%m}{at:04d}",
        "is_account": False,
        "shipped_on": month,
        "shipped_month": month,
        "carrier": str(draw.choice(["Northline", "Corvane"], p=[0.8, 0.2])),
        "service": str(draw.choice(["ground", "express"], p=[0.9, 0.1])),
        "zone": str(draw.integers(2, 9)),
        "item_type": item_type,
        "channel": "marketplace",
        "carton_code": None if draw.random() < 0.05 else f"C-{draw.integers(1, 9):02d}",
        "packing_method": str(draw.choice(METHODS)),
        "piece_count": 1,
        "base_cents": base,
        "fuel_cents": round(base * 0.15),
        "surcharge_cents": 1850 if item_type in ("tripod", "optical tube") and draw.random() < 0.3 else 0,
        "adjustment_cents": int(draw.choice([0, 0, 0, 0, 640, -420])),
        "credit_cents": -base if draw.random() < 0.01 else 0,
        "carton_cents": 285,
        "material_cents": int(draw.integers(90, 420)),
        "labour_cents": int(draw.integers(200, 600)),
        "damage_net_cents": int(draw.integers(4000, 21000)) if draw.random() < 0.02 else 0,
        "shipping_charged_cents": charged,
        "shipping_refunded_cents": charged // 2 if charged % 50 == 0 else 0,
        "allowance_cents": 0,
        "fee_on_shipping_cents": charged // 8,
    }
    return _summed(row)


def _account_fee() -> dict[str, Any]:
    amounts = dict.fromkeys(columns_of("costs"), 0)
    incomes = dict.fromkeys(columns_of("paid"), 0)
    named = {"parcel_id": "account Northline 2026-10", "is_account": True, "shipped_month": MONTHS[-1]}
    kinds = {"carrier": "Northline", "item_type": "account fees", "channel": "account fees", "piece_count": 0}
    return _summed({**named, **kinds, **amounts, **incomes, "surcharge_cents": 1200})


def _summed(row: dict[str, Any]) -> dict[str, Any]:
    billed = sum(row[name] for name in (*CHARGES, "unmapped_cents"))
    costs = billed + sum(row[name] for name in (*PACKING, *REDUCING))
    return {
        **row,
        "billed_cents": billed,
        "margin_cents": row["shipping_charged_cents"] + row["allowance_cents"] - costs,
    }
