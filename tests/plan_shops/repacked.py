"""Tiny shops that have tried a second packing method, and what any set of their actions is worth, in plain Python.

The goods are worth nothing, so that methods differ by material and carriage; by the present one a piece now and then
was damaged, so that the other breaks no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any
from unittest import mock

from models.actions.action import Action
from models.settings.cartons import Cartons
from pipelines.shop import warehouse
from tests.plan_shops import tiny, trade
from tests.plan_shops.advised import METHOD, OTHER_CARRIER, judged, price_list, records
from tests.plan_shops.oracle import Way, cost, ways
from tests.plan_shops.trade import CLEARANCE, PAST, Goods, Parcel, PlanShop, month

Row = dict[str, Any]
OTHER_METHOD, TRIED_MONTHS = "tried", 3
MATERIAL_CENTS, EVERY = 300, 8


@contextmanager
def repacked(
    shop: PlanShop, clearance_in: float, material_cents: int = MATERIAL_CENTS
) -> Iterator[warehouse.Connection]:
    """The shop built and judged, the other method of so many inches around the goods and cents of material."""
    given = records(shop)
    (method,) = given["packing_methods"]
    method |= {"material_cents": MATERIAL_CENTS, "pack_minutes": 5}
    other = {"packing_method": OTHER_METHOD, "clearance_in": clearance_in, "material_cents": material_cents}
    given["packing_methods"] = [method, method | other]
    given["sales"] = [each | {"item_price_cents": 0} for each in given["sales"]]
    given["weights"] = [each | {"packing_method": _method(each)} for each in given["weights"]]
    wrapped = [each for each in given["weights"] if each["packing_method"] == METHOD]
    given["claims"] = [
        {"claim_id": f"C{at}", "parcel_id": each["parcel_id"], "opened_on": each["shipped_on"], "refund_cents": 1}
        for at, each in enumerate(wrapped[::EVERY])
    ]
    assert shop.other
    lists = [price_list(shop.tariff), price_list(shop.other, OTHER_CARRIER)]
    with judged(given, lists, Cartons(hold_out_months=3)) as connection:
        yield connection


def _method(sent: Row) -> str:
    """The other one in the first months, which no saving of a month counts any more."""
    return OTHER_METHOD if sent["shipped_on"] < str(month(TRIED_MONTHS)) else METHOD


def best(shop: PlanShop, parcel: Parcel, clearance_in: float = CLEARANCE) -> Way:
    """The cheapest way from stock on the service used; of equal ones the cheaper carton, then by its code."""
    with mock.patch.object(trade, "CLEARANCE", clearance_in):
        found = ways(shop.cartons, parcel.goods)
    return min(found, key=lambda way: (cost(shop, parcel, way), way[0].cents, way[0].code))


class Priced:
    """The parcels of one month, of one item type, with any of its actions done.

    beside: what a packing method is counted on for beside carriage, cents a month: by its own row where nothing else is
    done. What its parcels save begins in the cartons that they change to.
    """

    def __init__(self, shop: PlanShop, goods: Goods, clearance_in: float, found: Sequence[Action]) -> None:
        sent = [each for each in shop.past if each.goods is goods and each.month == month(PAST - 1)]
        self.shop, self.parcels = shop, sent
        self.into = {each.number: best(shop, each, clearance_in) for each in sent}
        gain = sum(cost(shop, each, best(shop, each)) - cost(shop, each, self.into[each.number]) for each in sent)
        self.method_month_cents = gain
        self.beside = sum(each.saving_cents - gain for each in found if each.action_kind == "packing")

    def saved(self, done: Sequence[Action]) -> int:
        """Cents a month."""
        is_repacked = any(each.action_kind == "packing" for each in done)
        carried = sum(self._saved(each, done, is_repacked) for each in self.parcels)
        return carried + (self.beside if is_repacked else 0)

    def _saved(self, parcel: Parcel, done: Sequence[Action], is_repacked: bool) -> int:
        before = cost(self.shop, parcel, (parcel.carton, None))
        if not is_repacked:
            return before - tiny.priced(self.shop, parcel, done)
        return before - cost(self.shop, parcel, self.into[parcel.number], tiny.carried_by(self.shop, parcel, done))


def of_goods(found: Sequence[Action], goods: Goods) -> list[Action]:
    """The actions of one item type: those of two never meet."""
    facts: list[Mapping[str, Any]] = [each.facts for each in found]
    return [each for each, known in zip(found, facts, strict=True) if known["item_type"] == goods.name]
