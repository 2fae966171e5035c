"""Figures of a page held against an odd shop's books."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import datetime

from dashboards.views import MOST_ROWS
from tests.odd_shops.oracle import Sums, sums
from tests.odd_shops.trade import Parcel, Shop
from tests.odd_shops.walking import NONE, Table, Walk

Group = Callable[[Parcel], str]
# Tables of the page that add up the month's parcels, the header that names the group, and how the books group.
GROUPED: dict[str, tuple[str, Group]] = {
    "item-type-margins": ("Item type", lambda parcel: parcel.item),
    "margin-channels": ("Channel", lambda parcel: parcel.channel),
    "margin-zones": ("Zone", lambda parcel: parcel.zone),
}
FIGURES: dict[str, Callable[[Sums], int]] = {
    "Parcels": lambda each: each.parcels,
    "Shipping charged": lambda each: each.charged,
    "Billed by carriers": lambda each: each.billed,
    "Surcharges": lambda each: each.surcharge,
    "Damage, net": lambda each: each.damage,
    "Margin": lambda each: each.margin,
}


def whole(text: str) -> int:
    """A count, or an amount in cents. A dash in a table is none."""
    return 0 if text == NONE else int(re.sub(r"[^\d-]", "", text))


def in_prose(text: str) -> tuple[int, int]:
    """An amount of a sentence in cents, and by how many it may be rounded: large ones have no cents."""
    return (whole(text), 0) if re.search(r"\.\d\d$", text) else (100 * whole(text), 50)


def wrong_figures(made: Shop, seen: Walk) -> Iterator[str]:
    """One entry per figure that is not the books'; of goods without a name only the month's sums are compared."""
    months = {month: sums(made, lambda parcel: "", month).get("", Sums()) for month in made.plan.parcels}
    table = seen.tables["months"]
    shown = {datetime.strptime(cell, "%B %Y").date(): at for at, cell in enumerate(table.column("Month"))}
    yield from (f"months: {month:%Y-%m} is missing" for month in set(months) - set(shown))
    for month, at in shown.items():
        yield from (f"months: {month:%Y-%m} {fault}" for fault in _differing(table, at, months[month]))
    for name, (head, by) in GROUPED.items():
        if name in seen.tables and not (head == "Item type" and made.plan.item_types == 0):
            yield from (
                f"{name}: {fault}" for fault in _wrong_groups(seen.tables[name], head, sums(made, by, made.plan.month))
            )


def _wrong_groups(table: Table, head: str, books: dict[str, Sums]) -> Iterator[str]:
    shown = {cell: at for at, cell in enumerate(table.column(head)) if cell != "account fees"}
    # A page writes the first rows of a long table; the workbook has all.
    is_cut = len(shown) == MOST_ROWS and set(shown) < set(books)
    if set(shown) != set(books) and not is_cut:
        yield f"groups are {sorted(shown)[:5]}, not {sorted(books)[:5]}"
    for name in set(shown) & set(books):
        yield from (f"{name} {fault}" for fault in _differing(table, shown[name], books[name]))


def _differing(table: Table, at: int, books: Sums) -> Iterator[str]:
    for head, figure in FIGURES.items():
        if head in table.heads and whole(table.column(head)[at]) != figure(books):
            yield f"{head} is {table.column(head)[at]}, not {figure(books)}"


def untrue_sentences(made: Shop, seen: Walk) -> Iterator[str]:
    """One entry per statement of the header or a box that the books contradict."""
    plan, text = made.plan, seen.text
    month = sums(made, lambda parcel: "", plan.month)[""]
    header = seen.sentences["headline"][0]
    is_completed = "With what is still to come" in header
    yield from _untrue_headline(header, month, is_completed)
    kept = {
        "Claims: what damage": "claims",
        "A bench log: ": "weights",
        "A carton catalogue: ": "cartons",
        "Packing methods with their cost": "packing_methods",
    }
    for words, kind in kept.items():
        if (words in text) != (kind not in plan.keeps):
            yield f"the box on {kind} is wrong"
    if ("price lists, as tariffs" in text) != (not plan.has_tariff):
        yield "the box on tariffs is wrong"
    if any(not parcel.is_billed for parcel in made.parcels if parcel.month == plan.month):
        # A month that is completed may be compared: no bill is missing of it any more.
        reported = ("has a bill:", *(() if is_completed else ("better than", "worse than")))
        yield from (f"untrue: {words}" for words in reported if words in text)
    if re.search("No damage (?:has been|claim is)", text) and any(parcel.loss for parcel in made.parcels):
        yield "untrue: no damage"


def _untrue_headline(header: str, month: Sums, is_completed: bool) -> Iterator[str]:
    stated = re.search(r"(?:money|itself|month by): (-?[^\d-]*[\d,.]+\d)(?: on (\d+) parcels)?", header)
    if not stated or int(stated[2] or month.parcels) != month.parcels:
        yield f"the month is {stated and stated[0]}, not on {month.parcels} parcels"
    elif is_completed:
        yield from _untrue_interval(header, in_prose(stated[1])[0])
    elif abs(in_prose(stated[1])[0] - month.margin) > in_prose(stated[1])[1]:
        yield f"the month is {stated[0]}, not {month.margin}"


def _untrue_interval(header: str, cents: int) -> Iterator[str]:
    """A completed month is an estimate that the books do not hold: it lies within its own interval."""
    limits = re.search(r"\(interval (-?[^\d-]*[\d,.]+\d) to (-?[^\d-]*[\d,.]+\d)\)", header)
    if not limits or not in_prose(limits[1])[0] <= cents <= in_prose(limits[2])[0]:
        yield f"the month is {cents} outside {limits and limits[0]}"
