"""The plan carried out on what followed: what each of its rows brought a month, and which rows exclude another.

Of two rows for one parcel, its carton and its service, the first brings what it does alone, the other what is left.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tests.plan_shops.advised import NAMES, Advised
from tests.plan_shops.oracle import NEW_LOWEST, Way, cost, stocking, ways
from tests.plan_shops.trade import Carton, Parcel, PlanShop

Row = dict[str, Any]
CHANGES = ("carton", "cut")


@dataclass(frozen=True)
class CarriedOut:
    """came: cents a month by place of the row. contradictions: rows that cannot be done beside another one."""

    came: Mapping[int, float]
    contradictions: Sequence[str]


def carried_out(shop: PlanShop, advised: Advised, parcels: Sequence[Parcel], months: int) -> CarriedOut:
    """Every parcel of so many months on the service of its row, in the carton that is the cheapest the rows allow it on
    the service that it used to go by."""
    stocked = _stocked(shop, advised)
    changes = [row for row in advised.actions if row["action_kind"] in CHANGES]
    sizes = next((row for row in advised.actions if row["action_kind"] == "sizes"), None)
    came: dict[int, float] = defaultdict(float)
    for parcel in parcels:
        place, way = _carried(shop, parcel, changes, stocked, sizes)
        by = next((row["place"] for row in advised.actions if _goes_by(row, parcel)), 0)
        for row, saved in _in_turn(shop, parcel, by, place, way):
            came[row] += saved / months
    if sizes:
        came[sizes["place"]] -= stocking(shop, stocked.values()) - stocking(shop, shop.cartons)
    return CarriedOut(came, list(_contradictions(changes, stocked)))


def _in_turn(shop: PlanShop, parcel: Parcel, by: int, place: int, way: Way) -> list[tuple[int, int]]:
    """What the row of its service and that of its carton save on the parcel, the first row as if it were alone."""
    as_sent: Way = (parcel.carton, None)
    before, after = cost(shop, parcel, as_sent), cost(shop, parcel, way, shop.other if by else None)
    first, last = sorted((by, place), key=lambda each: each or math.inf)
    alone = cost(shop, parcel, way) if first == place else cost(shop, parcel, as_sent, shop.other)
    return [(first, before - alone), (last, alone - after)]


def _stocked(shop: PlanShop, advised: Advised) -> dict[str, Carton]:
    """What the shop has in stock after the plan: the sizes of the plan where it has that row, else today's."""
    known = {each.code: each for each in (*shop.cartons, *shop.offered)}
    if not any(row["action_kind"] == "sizes" for row in advised.actions):
        return {each.code: each for each in shop.cartons}
    found = {}
    for row in advised.sizes:
        inside = tuple(float(row[f"inside_{name}"]) for name in NAMES)
        new = Carton(row["size_code"], inside, shop.board_cents(Carton("", inside, 0).blank_in2), NEW_LOWEST, "new")  # type: ignore[arg-type]
        carton = known.get(row["size_code"], new)
        found[row["size_code"]] = carton if carton.source == "stock" else replace(carton, lowest=NEW_LOWEST)
    return found


def _goes_by(row: Row, parcel: Parcel) -> bool:
    """Whether the row gives the parcel another service."""
    if row["action_kind"] != "other service" or row["item_type"] != parcel.goods.name:
        return False
    return bool(int(row["zone_low"]) <= int(parcel.zone) <= int(row["zone_high"]))


def _carried(
    shop: PlanShop, parcel: Parcel, changes: Sequence[Row], stocked: Mapping[str, Carton], sizes: Row | None
) -> tuple[int, Way]:
    """The row that gives the parcel its carton, 0 for none, and how it goes."""
    before: Way = (parcel.carton, None)
    mine = [row for row in changes if (row["item_type"], row["carton_code"]) == (parcel.goods.name, parcel.carton.code)]
    found = [(cost(shop, parcel, way), row["place"], way) for row in mine for way in _ways_of(parcel, row, stocked)]
    is_kept = parcel.carton.code in stocked
    if sizes:
        # A change among cartons that stay is made only where a row says so.
        others = [each for each in stocked.values() if each.source != "stock" or not (mine or is_kept)]
        found += [(cost(shop, parcel, way), sizes["place"], way) for way in ways(others, parcel.goods)]
    if is_kept:
        found.append((cost(shop, parcel, before), 0, before))
    _, place, way = min(found, default=(0, 0, before), key=lambda each: each[:2])
    return place, way


def _ways_of(parcel: Parcel, row: Row, stocked: Mapping[str, Carton]) -> Iterator[Way]:
    """The row's carton as it says: whole, or cut to the least height of its span that holds the goods."""
    carton = stocked.get(row["best_carton_code"])
    if carton:
        is_cut = row["action_kind"] == "cut"
        for way in ways([carton], parcel.goods):
            if (way[1] is not None) == is_cut and (way[1] is None or _spans(row, way[1])):
                yield way


def _spans(row: Row, height: float) -> bool:
    return bool(row["cut_low_in"] - 1e-6 <= height <= row["cut_high_in"] + 1e-6)


def _contradictions(changes: Sequence[Row], stocked: Mapping[str, Carton]) -> Iterator[str]:
    for row in changes:
        if row["best_carton_code"] not in stocked:
            yield f"{row['item_type']} into {row['best_carton_code']}, which another row drops"
