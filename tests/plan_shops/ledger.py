"""What any set of actions of a stated shop saves, parcel by parcel in plain Python."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import permutations
from typing import Any

from tests.plan_shops.advised import CARRIER, SERVICE, place_of
from tests.plan_shops.oracle import carriage
from tests.plan_shops.stated import CASE, CASE_SIDES, METHODS, Box, StatedShop, Stream, bundles, entries, item_types
from tests.plan_shops.trade import BOARD, CLEARANCE, PAST, Sides, Tariff, month

Row = dict[str, Any]
MONTHS = 12


@dataclass(frozen=True)
class Way:
    """A parcel in a carton: its code today, inside and outside sides, price on the day, and tare where it is known."""

    code: str
    inside: Sides | None
    outside: Sides
    cents: int
    tare: float | None


@dataclass(frozen=True)
class Sent:
    """One parcel of the last twelve months, as its records say."""

    shop: StatedShop
    number: int
    day: date
    stream: Stream

    @cached_property
    def used(self) -> Way:
        """The carton that it went in."""
        box = self.stream.box
        return Way(CASE, None, CASE_SIDES, 0, None) if box is None else alone(box, self.day)

    @cached_property
    def scale(self) -> float:
        """What the bench wrote down."""
        return round(self.stream.goods + (self.used.tare or 0.0) + self.void(self.used) * self.shop.fill[1], 2)

    def void(self, way: Way) -> float:
        """Cubic inches of fill; none is known of a carton that is in no catalogue."""
        if way.inside is None:
            return 0.0
        pieces = [self.shop.pair] if self.stream.pieces == 2 else [self.shop.sides[self.stream.item]]
        taken = sum(math.prod(side + CLEARANCE for side in piece) for piece in pieces)
        return max(0.0, math.prod(side - CLEARANCE for side in way.inside) - taken)

    def weight(self, way: Way) -> float:
        """Tare and fill of that carton instead of those of the one used; a tare not known of both changes nothing."""
        more = (self.void(way) - self.void(self.used)) * self.shop.fill[1]
        if way.tare is not None and self.used.tare is not None:
            more += way.tare - self.used.tare
        return self.scale + more

    def carried(self, way: Way, tariff: Tariff) -> int:
        """Carriage in that carton."""
        return carriage(tariff, self.stream.zone, way.outside, self.weight(way))

    def cost(self, way: Way, tariff: Tariff) -> int:
        """Carriage, carton and fill."""
        return self.carried(way, tariff) + way.cents + round(self.void(way) * self.shop.fill[0])

    @cached_property
    def best(self) -> Way:
        """The cheapest from stock on the service used; as it was sent where nothing is cheaper."""
        found = [alone(box, self.day) for box in self.shop.boxes if self._lies_in(box.inside)]
        found = found or [two(box, self.day) for box in self.shop.boxes if box.overlap and self._lies_in(slid(box))]
        return min([self.used, *found], key=lambda way: self.cost(way, self.shop.own))

    def _lies_in(self, inside: Sides) -> bool:
        piece = self.shop.sides[self.stream.item]
        if self.stream.pieces == 1:
            return _holds(inside, piece)
        return _holds(inside, self.shop.pair) or _holds_two(inside, piece)


def _holds(inside: Sides, piece: Sides) -> bool:
    return all(side + 2 * CLEARANCE <= room + 1e-6 for side, room in zip(sorted(piece), sorted(inside), strict=True))


def _holds_two(inside: Sides, piece: Sides) -> bool:
    """Side by side along one of the sides, each turned in any way: two boxes can always be parted by a plane."""
    room = [side - CLEARANCE for side in inside]
    turned = [[side + CLEARANCE for side in each] for each in permutations(piece)]
    return any(
        one[axis] + other[axis] <= room[axis] + 1e-6
        and all(max(one[at], other[at]) <= room[at] + 1e-6 for at in range(3) if at != axis)
        for axis in range(3)
        for one in turned
        for other in turned
    )


def _cents(box: Box, day: date) -> int:
    return max(each for each in box.prices if each[0] <= day)[1]


def alone(box: Box, day: date) -> Way:
    """One carton: two boards on the opening, four on the height (style 0201)."""
    length, width, height = box.inside
    outside = (length + 2 * BOARD, width + 2 * BOARD, height + 4 * BOARD)
    return Way(box.today, box.inside, _longest_first(outside), _cents(box, day), box.tare)


def slid(box: Box) -> Sides:
    """Inside of two of it slid into one another: the inner one lies within the outer one's walls."""
    length, width, height = box.inside
    return (length - 2 * BOARD, width - 2 * BOARD, 2 * height - (box.overlap or 0))


def two(box: Box, day: date) -> Way:
    """Two slid into one another: the outer one is spread by the inner one's board."""
    length, width, _ = box.inside
    outside = (length + 4 * BOARD, width + 4 * BOARD, slid(box)[2] + 4 * BOARD)
    return Way(f"2 x {box.today}", slid(box), _longest_first(outside), 2 * _cents(box, day), 2 * box.tare)


def _longest_first(sides: Sides) -> Sides:
    one, other, third = sorted(sides, reverse=True)
    return (one, other, third)


def parcels(shop: StatedShop) -> list[Sent]:
    """All of them."""
    return [Sent(shop, number, day, stream) for number, day, stream in shop.sent()]


def records(shop: StatedShop) -> dict[str, list[Row]]:
    """What the shop has written down."""
    every = parcels(shop)
    return {
        "item_types": item_types(shop),
        "bundles": bundles(shop),
        "packing_methods": METHODS,
        "cartons": [entry for box in shop.boxes for entry in entries(box)],
        "sales": [
            {"sale_id": f"S{each.number}", "item_type": each.stream.item, "quantity": each.stream.pieces}
            | {"sold_at": f"{each.day} 08:00:00"}
            for each in every
        ],
        "weights": [_weighed(each) for each in every],
    }


def _weighed(sent: Sent) -> Row:
    length, width, height = sent.used.outside
    box = sent.stream.box
    return {
        "parcel_id": f"P{sent.number}",
        "sale_id": f"S{sent.number}",
        "packed_quantity": sent.stream.pieces,
        "shipped_on": str(sent.day),
        "carrier": CARRIER,
        "service": SERVICE,
        "zone": sent.stream.zone,
        "destination_prefix": place_of(sent.stream.zone),
        "carton_code": CASE if box is None else box.code_on(sent.day),
        "packing_method": "wrap",
        "scale_weight_lb": sent.scale,
        "length_in": length,
        "width_in": width,
        "height_in": height,
        "is_rectangular": True,
    }


def changes(row: Row, sent: Sent) -> bool:
    """Whether the row of the list is this parcel's change of carton."""
    named = (row["item_type"], row["carton_code"], row["best_carton_code"])
    return row["action_kind"] == "carton" and named == (sent.stream.item, sent.used.code, sent.best.code)


def goes_by(row: Row, sent: Sent) -> bool:
    """Whether the row gives this parcel the other service."""
    is_named = row["action_kind"] == "other service" and row["item_type"] == sent.stream.item
    return is_named and int(row["zone_low"]) <= int(sent.stream.zone) <= int(row["zone_high"])


def month_cents(shop: StatedShop, listed: Sequence[Row], ranked: Sequence[Row]) -> dict[int, int]:
    """Cents a month by place of the row, all of them done. ranked: the rows by what they bring alone, most first: of
    two for the same parcels the first has what it saves alone, the other one what is left."""
    alone_cents = {row["place"]: 0 for row in listed}
    pairs: dict[tuple[int, int], int] = defaultdict(int)
    for sent in _last_year(shop):
        mine = [row for row in ranked if changes(row, sent) or goes_by(row, sent)]
        for row in mine:
            alone_cents[row["place"]] += _saved(sent, [row])
        if len(mine) == 2:
            both = _saved(sent, mine) - sum(_saved(sent, [row]) for row in mine)
            pairs[mine[1]["place"], mine[0]["place"]] += both
    found = {place: cents // MONTHS for place, cents in alone_cents.items()}
    for (later, _), cents in pairs.items():
        found[later] += cents // MONTHS
    return found


def whole_cents(shop: StatedShop, listed: Sequence[Row]) -> int:
    """The same for the plan priced whole: every parcel of the year with all that is done to it."""
    return sum(
        _saved(sent, [row for row in listed if changes(row, sent) or goes_by(row, sent)]) for sent in _last_year(shop)
    )


def _saved(sent: Sent, done: Sequence[Row]) -> int:
    tariff = sent.shop.other if any(goes_by(row, sent) for row in done) else sent.shop.own
    way = sent.best if any(changes(row, sent) for row in done) else sent.used
    return sent.cost(sent.used, sent.shop.own) - sent.cost(way, tariff)


def _last_year(shop: StatedShop) -> Iterator[Sent]:
    return (each for each in parcels(shop) if each.day >= month(PAST - MONTHS))


def saving_changes(shop: StatedShop) -> set[tuple[str, str, str]]:
    """Item type, carton used and better carton of the last three months' parcels that another carton makes cheaper."""
    late = (sent for sent in parcels(shop) if sent.day >= month(PAST - 3))
    return {(sent.stream.item, sent.used.code, sent.best.code) for sent in late if sent.best is not sent.used}
