"""Shops that state tares, fill, bundles and more: the list of what to do next beside a ledger in plain Python."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from models.actions.action import Action
from models.settings.cartons import Cartons
from tests.plan_shops.advised import OTHER_CARRIER, judged, price_list
from tests.plan_shops.ledger import month_cents, records, saving_changes, whole_cents
from tests.plan_shops.stated import stated
from tests.plan_shops.tiny import candidates
from tests.sampling import tries
from tests.shops import rows

Row = dict[str, Any]
KINDS = ("carton", "cut", "other service")
TOLD = ("action_kind", "item_type", "carton_code", "best_carton_code", "zone_low")


@cache
def found_in(seed: int) -> tuple[list[Action], list[Row]]:
    """The actions before any is chosen, and the rows of the list that change cartons and services."""
    shop = stated(seed)
    cents, pounds = (1_728 * each for each in shop.fill)
    chosen = Cartons(hold_out_months=3, void_fill_cents_per_ft3=cents, void_fill_lb_per_ft3=pounds)
    lists = [price_list(shop.own), price_list(shop.other, OTHER_CARRIER)]
    with judged(records(shop), lists, chosen) as connection:
        found = candidates(connection)
        listed = rows(connection, "select * from analysis.actions order by place")
    return found, [row for row in listed if row["action_kind"] in KINDS]


def named(row: Row) -> tuple[Any, ...]:
    return tuple(row.get(name) for name in TOLD)


@pytest.mark.parametrize("seed", range(tries(24)))
def test_each_row_is_worth_what_the_ledger_says_and_all_of_them_what_the_plan_priced_whole_does(seed: int) -> None:
    shop, (found, listed) = stated(seed), found_in(seed)
    alone = {named({"action_kind": each.action_kind, **each.facts}): (each.worth, each.evidence) for each in found}
    ranked = sorted(listed, key=lambda row: alone[named(row)], reverse=True)
    ledger = month_cents(shop, listed, ranked)
    assert {row["place"]: row["saving_month_cents"] for row in listed} == ledger
    # Each row, and what two of them bring together, is told in whole cents, rounded down.
    assert 0 <= whole_cents(shop, listed) / 12 - sum(ledger.values()) <= 2 * len(listed)


@pytest.mark.parametrize("seed", range(tries(24)))
def test_no_change_of_carton_is_missed_nor_made_up(seed: int) -> None:
    shown = {
        tuple(each.facts[name] for name in ("item_type", "carton_code", "best_carton_code"))
        for each in found_in(seed)[0]
        if each.action_kind == "carton"
    }
    assert shown == saving_changes(stated(seed))


def test_all_that_is_stated_comes_up_in_some_of_them() -> None:
    named_cartons = [row["best_carton_code"] for seed in range(tries(24)) for row in found_in(seed)[1]]
    assert {"2 x POST", "NEST"} <= set(named_cartons) and "SNUG" not in named_cartons
    assert "SNUG 2" in named_cartons
