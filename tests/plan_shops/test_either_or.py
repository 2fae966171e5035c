"""What a packing method of less room and another service bring where only one of both is advised: most of the plan that
prices both together, and not all of it. In plain Python, on tiny shops; the program has no part in it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from unittest import mock

from tests.plan_shops import trade
from tests.plan_shops.oracle import Way, cost, ways
from tests.plan_shops.tiny import tiny
from tests.plan_shops.trade import CLEARANCE, PAST, Parcel, PlanShop, month

SHOPS, LESS_IN = 30, 0.5
# Of one parcel: its zone and carton, and its cents on either service as sent, in the best carton, and in the best one
# that the other method allows.
Services = tuple[int, int]
Row = tuple[str, str, tuple[Services, Services, Services]]


def best(shop: PlanShop, parcel: Parcel, clearance_in: float) -> Way:
    with mock.patch.object(trade, "CLEARANCE", clearance_in):
        found = ways(shop.cartons, parcel.goods)
    return min(found, key=lambda way: (cost(shop, parcel, way), way[1] is not None))


def row(shop: PlanShop, parcel: Parcel) -> Row:
    of = [(parcel.carton, None), best(shop, parcel, CLEARANCE), best(shop, parcel, CLEARANCE - LESS_IN)]
    as_sent, moved, repacked = ((cost(shop, parcel, way), cost(shop, parcel, way, shop.other)) for way in of)
    return parcel.zone, parcel.carton.code, (as_sent, moved, repacked)


def savings(rows: Sequence[Row]) -> tuple[int, int]:
    """Cents a month with the method or other services beside changes of carton, whichever is more; and with both."""
    spent = sum(cents[0][0] for _, _, cents in rows)
    zones, cartons = sorted({zone for zone, _, _ in rows}), sorted({carton for _, carton, _ in rows})
    goes = [dict(zip(zones, each, strict=True)) for each in product((0, 1), repeat=len(zones))]
    moves = [dict(zip(cartons, each, strict=True)) for each in product((0, 1), repeat=len(cartons))]
    by_service = min(sum(cents[move[code]][go[zone]] for zone, code, cents in rows) for go in goes for move in moves)
    by_method = sum(cents[2][0] for _, _, cents in rows)
    by_both = min(sum(cents[2][go[zone]] for zone, _, cents in rows) for go in goes)
    either = spent - min(by_service, by_method)
    return either, max(either, spent - by_both)


def test_either_or_finds_most_of_what_method_and_service_would_bring_together() -> None:
    either = both = 0
    for seed in range(SHOPS):
        shop = tiny(seed)
        sent = [each for each in shop.past if each.month == month(PAST - 1)]
        for goods in shop.goods:
            rows = [row(shop, each) for each in sent if each.goods is goods]
            one, two = savings(rows) if rows else (0, 0)
            either, both = either + one, both + two
    assert 0.95 <= either / both < 1, either / both
