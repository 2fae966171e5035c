"""The carton catalogue and the supplier's prices by quantity, as the shop keeps them."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sample_data import shop
from sample_data.shop import CARTONS

Row = dict[str, Any]


def carton_rows() -> list[Row]:
    """The supplier's catalogue at both dates."""
    return [_carton_row(code, since, level) for since, level in price_levels() for code in CARTONS]


def price_levels() -> tuple[tuple[dt.date, float], ...]:
    """The dates from which the shop's lists of prices are valid, with their level."""
    return ((shop.FIRST_DAY, 1.0), (shop.PRICE_RISE_ON, shop.PRICE_RISE))


def _carton_row(code: str, since: dt.date, level: float) -> Row:
    carton = CARTONS[code]
    length, width, height = carton.inside_cm
    walls = (2, 2, 2 if carton.style == "tube" else 4)
    outer = [side + n * shop.BOARD_CM for side, n in zip((length, width, height), walls, strict=True)]
    shown = [f"{side:.1f}" for side in outer] if carton.has_outside else ["", "", ""]
    return {
        "Box": code,
        "Valid since": f"{since}",
        "FEFCO": carton.style,
        "Inner L (cm)": f"{length:.1f}",
        "Inner B (cm)": f"{width:.1f}",
        "Inner H (cm)": f"{height:.1f}",
        "Outer L (cm)": shown[0],
        "Outer B (cm)": shown[1],
        "Outer H (cm)": shown[2],
        "Wall (mm)": f"{shop.BOARD_CM * 10:.1f}",
        "Price each": f"{round(carton.cost_cents * level) / 100:.2f}",
        "Can be cut": "yes" if carton.is_cuttable else "no",
        "Lowest H (cm)": "" if carton.minimum_height_cm is None else f"{carton.minimum_height_cm:.1f}",
        "Empty (g)": "",
        "Slides over (cm)": "",
        "In stock": str(carton.on_hand),
        "Least order": str(carton.minimum_order),
        **_supplied(carton, since),
    }


def _supplied(carton: shop.Carton, since: dt.date) -> Row:
    """Of the entry in force: when its stock was counted, how it is packed and how long it takes to come."""
    counted = carton.counted_on if since == shop.PRICE_RISE_ON else None
    return {
        "Counted": "" if counted is None else f"{counted}",
        "Bundle of": str(carton.minimum_order),
        "Supply days": str(carton.lead_time_days),
    }


def bundle_rows() -> list[Row]:
    """Pieces that the shop sends nested in one wrap, and the sides of the whole."""
    sides = {"length_in": "23", "width_in": "9.6", "height_in": "9.6"}
    return [{"item_type": "dew shield", "bundled_count": "4", **sides, "turns": "any"}]


def carton_price_rows() -> list[Row]:
    """The supplier's prices by quantity, from the second date of the catalogue."""
    return [
        {
            "carton_code": code,
            "effective_from": f"{shop.PRICE_RISE_ON}",
            "minimum_quantity": str(fewest),
            "unit_cost_cents": str(round(shop.CARTONS[code].cost_cents * shop.PRICE_RISE * (1 - share))),
        }
        for code in shop.BOUGHT_MOST
        for fewest, share in shop.PRICE_STEPS
    ]
