"""Orders that last longer than a year: whether they pay, against packing in the next best carton instead.

Ordered: N pieces at p cents, d used a month, k cents a month on average for storage and interest until all are used.
Not ordered: each parcel costs p + e in the next best carton. After t months the order has paid where
(p + e) d t >= N p + k t; where that takes longer than the order lasts, it never pays.
"""

from collections.abc import Mapping
from typing import Any

import pandas as pd

from models.carton_choice.order_words import LONG_MONTHS

# A long order that has not paid by then is not advised (common practice, no source): sizes and prices change.
PAYS_WITHIN_MONTHS = 24
Row = Mapping[str, Any]


def is_long(order: Row) -> bool:
    """Whether an order, as cells of analysis.carton_orders, lasts longer than a year."""
    months = order.get("order_months")
    return months is not None and months > LONG_MONTHS


def extra_by_code(substitutes: pd.DataFrame) -> dict[str, float]:
    """Of each carton all of whose contents another one holds: cents more for each parcel there.

    substitutes: carton_code, parcel_count, extra_cents; unknown where nothing stands in.
    """
    found = {}
    for code, rows in substitutes.groupby("carton_code"):
        parcels = int(rows["parcel_count"].sum())
        if parcels and rows["extra_cents"].notna().all():
            found[str(code)] = float(rows["extra_cents"].sum()) / parcels
    return found


def judged(order: Row, extra_cents: float | None) -> dict[str, Any]:
    """Cells beside those of an order: what each parcel costs more in the next best carton, when the order has paid, and
    whether that is soon enough; nothing where the order is no longer than a year or nothing stands in."""
    if not is_long(order) or extra_cents is None:
        return {}
    months = float(order["order_months"])
    kept = (order["order_keep_cents"] or 0) / months
    spared = (order["order_unit_cents"] + extra_cents) * order["order_count"] / months - kept
    pays_after = order["order_cents"] / spared if spared > 0 else None
    pays_after = None if pays_after is None or pays_after > months else pays_after
    return {
        "order_extra_cents": round(extra_cents),
        "order_pays_months": pays_after,
        "is_order_paying": pays_after is not None and pays_after <= PAYS_WITHIN_MONTHS,
    }
