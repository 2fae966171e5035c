"""Causes that were planted are found, each with its table's own figure, and none where there is none."""

from __future__ import annotations

from datetime import date
from typing import Any

import pandas as pd

from models.analyses.causes import compute
from models.analyses.question import Question
from models.contracts import validated
from models.tables import TABLES

MONTH = pd.Timestamp("2027-03-01")
PLAIN: dict[str, Any] = {
    "carrier": "Haul",
    "service": "slow",
    "parcel_count": 40,
    "billed_cents": 80_000,
    "margin_cents": 900,
}


def cell(item_type: str, margin_cents: int = 900, **more: Any) -> dict[str, Any]:
    """A row of the margin's cells."""
    return {"shipped_month": MONTH, **PLAIN, "item_type": item_type, "margin_cents": margin_cents, **more}


def near(item_type: str, spared_cents: int, **more: Any) -> dict[str, Any]:
    """A near miss."""
    plain = {"carrier": "Haul", "charge_name": "long", "change": "longest side", "carton_code": "K-1", "change_in": 1.0}
    shown = {"shipped_month": MONTH, **plain, "change_lb": None, "item_type": item_type, "spared_cents": spared_cents}
    return {**shown, "parcel_count": 9, **more}


def broken(item_type: str, damage_net_cents: int, **more: Any) -> dict[str, Any]:
    """Damage of goods packed in one way."""
    plain = {"packing_method": "straw", "parcel_count": 30, "damage_count": 3}
    return {"shipped_month": MONTH, **plain, "item_type": item_type, "damage_net_cents": damage_net_cents, **more}


def causes(cells: list[dict[str, Any]], **more: list[dict[str, Any]]) -> list[tuple[str, str, int]]:
    """Kind, what it names and cents of each cause, in their order."""
    known = {f"marts.{name}": pd.DataFrame(rows) for name, rows in more.items()}
    grouped = pd.DataFrame(cells).groupby(["shipped_month", "item_type"], as_index=False)
    sums = grouped[["parcel_count", "margin_cents"]].sum()
    tables = {"marts.margin_cells": pd.DataFrame(cells), "marts.item_type_costs": sums, **known}
    found = compute(Question(tables, date(2027, 3, 31)))
    rows = validated(found["analysis.causes"], TABLES["analysis.causes"], "the test").sort_values("place")
    names = rows["item_type"].fillna(rows["service"]).fillna(rows["carrier"])
    return list(zip(rows["cause_kind"], names, rows["cause_cents"].astype(int), strict=True))


SOUND = [cell("anvil"), cell("bell"), cell("chair", service="fast")]


def test_a_shop_without_any_has_none() -> None:
    assert causes(SOUND) == []
    assert causes(SOUND, near_miss_totals=[near("anvil", 0)], damage_counts=[broken("bell", 0)]) == []


def test_planted_causes_of_every_kind_are_found_with_their_own_figures() -> None:
    found = causes(
        [*SOUND, cell("dial", -30_000, service="fast")],
        near_miss_totals=[near("anvil", 50_000)],
        damage_counts=[broken("bell", 40_000)],
    )
    assert found == [("near miss", "anvil", 50_000), ("damage", "bell", 40_000), ("item type", "dial", 30_000)]
    errors = {"shipped_month": MONTH, "carrier": "Haul", "outstanding_cents": 9_000, "dispute_count": 4}
    assert causes(SOUND, billing_totals=[errors]) == [("billing errors", "Haul", 9_000)]


def test_an_item_type_has_the_figure_of_its_own_table() -> None:
    """A parcel of several goods counts whole with one of them among the cells, and with each for its share there."""
    shares = {"anvil": -600, "bell": 900, "chair": 900, "dial": -24_000}
    rows = [{"shipped_month": MONTH, "item_type": name, "parcel_count": 40} for name in shares]
    own = [{**row, "margin_cents": cents} for row, cents in zip(rows, shares.values(), strict=True)]
    cells = [*SOUND, cell("chair", 40_000, service="fast"), cell("dial", -30_000, service="fast")]
    assert causes(cells, item_type_costs=own) == [("item type", "dial", 24_000)]


def test_a_service_that_lost_on_all_goods_is_one_cause_not_many() -> None:
    late = [cell(name, -9_000, service="fast") for name in ("anvil", "bell", "chair")]
    assert causes([*late, cell("anvil", 20_000), cell("bell", 20_000), cell("chair", 20_000)]) == [
        ("service", "fast", 27_000)
    ]


def test_what_is_reported_is_not_reported_again() -> None:
    """Half of an item type's loss by a near miss names the near miss alone; a service is not named for one."""
    lost = [*SOUND, cell("dial", -30_000, service="fast")]
    assert causes(lost, near_miss_totals=[near("dial", 16_000)]) == [("near miss", "dial", 16_000)]
    assert ("item type", "dial", 30_000) in causes(lost, near_miss_totals=[near("dial", 14_000)])
    assert [kind for kind, _, _ in causes(lost)] == ["item type"]


def test_how_much_was_sold_one_parcel_and_small_money_are_no_cause() -> None:
    assert causes([cell("anvil", 100_000, parcel_count=4_000), cell("bell", 90_000)]) == []
    accident = [near("anvil", 50_000, parcel_count=1)]
    assert causes(SOUND, near_miss_totals=accident, damage_counts=[broken("bell", 90_000, damage_count=1)]) == []
    assert causes(SOUND, near_miss_totals=[near("anvil", 2_400)]) == [], "a hundredth of 2,400 dollars billed"
    assert causes(SOUND, near_miss_totals=[near("unknown", 50_000)]) == []


def test_three_at_most_and_none_of_a_month_of_few_parcels() -> None:
    many = [near(f"goods {at}", 50_000 + at) for at in range(5)]
    assert [cents for _, _, cents in causes(SOUND, near_miss_totals=many)] == [50_004, 50_003, 50_002]
    assert causes([cell("anvil", parcel_count=29)], near_miss_totals=many) == []
