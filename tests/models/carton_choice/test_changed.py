"""Which parcels change their carton, by given and expected rows."""

from __future__ import annotations

from typing import Any

import pandas as pd

from models.carton_choice.changed import changed_in_stock, recent

OFFERS = pd.DataFrame(
    {
        "option_key": [0, 1, 2],
        "carton_code": ["C-1", "C-2", "C-1"],
        "inside_height_in": [9.0, 6.0, 5.0],
        "option_kind": ["stocked", "stocked", "cut"],
    }
)
CHOICES = pd.DataFrame(
    {"class_key": [1, 1, 2], "option_kind": ["stocked", "cut", "stocked"], "option_key": [1, 2, 0]}
).assign(price_cents=[800, 700, 900])


def usage(class_key: int, month: str, spent: int, best: int) -> dict[str, Any]:
    known = {"class_key": class_key, "shipped_month": pd.Timestamp(month), "shipped_week": pd.Timestamp(month)}
    packed = {"item_type": "tripod", "packing_method": "paper", "carton_code": "C-0", "today_code": "C-00"}
    return {**known, **packed, "used_height_in": 9.0, "spent": spent, "cut down": best}


def test_parcels_that_a_carton_or_a_cut_makes_cheaper_change_to_the_cheaper_of_both() -> None:
    rows = pd.DataFrame([usage(1, "2026-10-01", 1_000, 700), usage(2, "2026-10-01", 900, 900)])
    (found,) = changed_in_stock(rows, CHOICES, OFFERS).to_dict("records")
    assert (found["class_key"], found["option_key"], found["price_cents"]) == (1, 2, 700)
    assert (found["best_carton_code"], found["is_cut"], found["size_source"]) == ("C-1", True, "stock")
    assert (found["carton_code"], found["today_code"]) == ("C-0", "C-00")


def test_the_last_twelve_months_are_those_of_all_parcels_not_of_those_that_change() -> None:
    months = ("2025-10-01", "2025-11-01", "2026-05-01", "2026-10-01")
    usages = pd.DataFrame([usage(1, month, 1_000, 700) for month in months])
    assert recent(usages.iloc[:3], usages)["shipped_month"].tolist() == [*pd.to_datetime(months[1:3])]
