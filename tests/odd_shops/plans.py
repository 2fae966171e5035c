"""The twelve shops: what each keeps, and how it differs from the others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

ALL = ("sales", "weights", "charges", "claims", "cartons", "packing_methods", "item_types")
JULY, AUGUST, SEPTEMBER, OCTOBER = (date(2026, month, 1) for month in (7, 8, 9, 10))
FOUR = (JULY, AUGUST, SEPTEMBER, OCTOBER)


@dataclass(frozen=True)
class Plan:
    """A shop. parcels: how many are shipped in each month. keeps: kinds of records that it has.

    is_billed: whether the bill of a parcel came, by its number in the month and the month. claims_from: from when
    claims are written down. returned: every which sale comes back. foreign: every which fuel charge is in another
    currency.
    """

    name: str
    parcels: dict[date, int]
    keeps: Sequence[str] = ALL
    has_tariff: bool = True
    units: str = "inch"
    currency: str = "USD"
    item_types: int = 3
    zones: Sequence[str] = ("2", "4", "6")
    channels: Sequence[str] = ("own site", "fair")
    is_billed: Callable[[int, date], bool] = field(default=lambda number, month: True)
    claims_from: date = date(2026, 1, 1)
    returned: int = 0
    foreign: int = 0

    @property
    def month(self) -> date:
        """The month that is reviewed: the last."""
        return max(self.parcels)


def _even(count: int) -> dict[date, int]:
    return dict.fromkeys(FOUR, count)


PLANS = {
    plan.name: plan
    for plan in (
        Plan("sales and charges only", _even(18), ("sales", "charges"), has_tariff=False, item_types=0),
        Plan("no tariff", _even(60), has_tariff=False),
        Plan("metric and euros", _even(60), units="metric", currency="EUR"),
        Plan("one item type", _even(60), item_types=1, channels=("own site",)),
        Plan("many item types", {SEPTEMBER: 300, OCTOBER: 300}, item_types=300),
        Plan("letter zones", _even(60), zones=("A", "B", "North")),
        Plan("first month", {OCTOBER: 60}),
        Plan("missing invoice", _even(60), is_billed=lambda number, month: month < OCTOBER or number % 3 != 0),
        Plan("claims begin late", _even(60), claims_from=OCTOBER),
        Plan("returns", _even(60), returned=6),
        Plan("two currencies", _even(25), foreign=5),
        Plan("a pause", {date(2026, 4, 1): 24, date(2026, 5, 1): 24, date(2026, 6, 1): 24, OCTOBER: 24}),
    )
}
