"""Discounts of a tariff as rows: which count together on which days and in which weight band, as one share."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any

from models.tariffs.charges import MILLIONTHS, Discount
from models.tariffs.rules import Tariff
from models.tariffs.surcharge_rows import rounding_cells

Row = dict[str, Any]
DAY = timedelta(days=1)
FUEL = "fuel"
# Heavier than anything that is priced.
NO_WEIGHT = 10**12


@dataclass(frozen=True)
class Counting:
    """Discounts that count together on these days, for billed weights above one and up to another."""

    rows: tuple[Discount, ...]
    first: date
    last: date
    above_milli: int
    up_to_milli: int

    @property
    def share_millionths(self) -> int:
        """Their joint share, to a millionth: those that are added, then those that are taken off what is left."""
        left = 1 - sum(Fraction(row.share_millionths, MILLIONTHS) for row in self.rows if row.stacked != "after")
        for row in self.rows:
            left *= 1 - Fraction(row.share_millionths, MILLIONTHS) if row.stacked == "after" else 1
        return int((1 - max(left, Fraction(0))) * MILLIONTHS + Fraction(1, 2))


def discount_rows(tariff: Tariff, services: Mapping[str, int]) -> list[Row]:
    """For each service, zone and discounted line the days and weights on which each joint share counts."""
    return [
        _row(found) | {"service_key": service_key, "zone": zone, "target_kind": kind, "target_surcharge": name}
        for service, service_key in services.items()
        for zone in tariff.zones(service)
        for target in dict.fromkeys(target for row in tariff.discounts for target in row.on if target != FUEL)
        for kind, _, name in (target.partition(":"),)
        for found in counting(tariff, target, service, zone)
    ]


def counting(tariff: Tariff, target: str, service: str, zone: str | None = None) -> list[Counting]:
    """What counts of the discounts on one kind of line: of those not stacked the latest begun, of equals the last.

    zone: None for what has one share in all of them.
    """
    rows = [row for row in tariff.discounts if target in row.on and row.holds_in(service, zone)]
    spans = [(row, *tariff.days(row)) for row in rows]
    days = {first for _, first, _ in spans} | {last + DAY for _, _, last in spans} | {tariff.last_on + DAY}
    weights = {0, NO_WEIGHT} | {row.above_milli for row in rows} | {row.up_to_milli or NO_WEIGHT for row in rows}
    found = []
    for first, after in pairwise(sorted(days)):
        valid = [(row, begun) for row, begun, last in spans if begun <= first <= last]
        for above, up_to in pairwise(sorted(weights)):
            own = [(r, b) for r, b in valid if r.above_milli <= above and (r.up_to_milli or NO_WEIGHT) >= up_to]
            if own and first <= tariff.last_on:
                found.append(Counting(tuple(_together(own)), first, after - DAY, above, up_to))
    return found


def _together(valid: Sequence[tuple[Discount, date]]) -> Iterator[Discount]:
    alone = [(begun, place) for place, (row, begun) in enumerate(valid) if not row.stacked]
    latest = max(alone)[1] if alone else None
    yield from (row for place, (row, _) in enumerate(valid) if row.stacked or place == latest)


def _row(found: Counting) -> Row:
    return {
        "share_millionths": found.share_millionths,
        "minimum_charge_cents": max(row.minimum_charge_cents for row in found.rows),
        "valid_from": found.first,
        "valid_to": found.last,
        "above_milli": found.above_milli,
        "up_to_milli": found.up_to_milli,
        **rounding_cells(found.rows[-1].rounding),
    }
