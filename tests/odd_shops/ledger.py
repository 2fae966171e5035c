"""A ledger in plain Python beside a shop's files: what each parcel brought and cost, summed by any group.

Nothing in it is reckoned by the program. Money is in the smallest unit of the shop's currency.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from tests.odd_shops.judging import in_prose, whole
from tests.odd_shops.walking import Table, Walk

Row = dict[str, Any]
# Headers of the page by the ledger's names; a column that a shop has no use for is not on its page.
HEADS = {
    "Parcels": "parcels",
    "Shipping charged": "charged",
    "Shipping refunded": "refunded",
    "Fee on shipping": "fee",
    "Billed by carriers": "billed",
    "Surcharges": "surcharge",
    "Damage, net": "damage",
    "Margin": "margin",
}
COSTS = ("refunded", "fee", "billed", "damage")
GROUPS = {"item-type-margins": ("Item type", "item"), "margin-zones": ("Zone", "zone")}


@dataclass(frozen=True)
class Entry:
    """Money of a parcel, or of an account in the month of its invoice: item and zone are empty there."""

    month: date
    item: str
    zone: str
    money: Mapping[str, int]


@dataclass
class Ledger:
    """A shop's books. month: the one that is reviewed. has_cents: whether its currency has any."""

    month: date
    has_cents: bool = True
    entries: list[Entry] = field(default_factory=list)

    def add(self, day: date, item: str = "", zone: str = "", **money: int) -> None:
        """What a parcel shipped on the day brought and cost."""
        self.entries.append(Entry(day.replace(day=1), item, zone, money))

    def sums(self, by: Callable[[Entry], Any]) -> dict[Any, Counter[str]]:
        """Money by group, with the margin."""
        found: dict[Any, Counter[str]] = {}
        for entry in self.entries:
            found.setdefault(by(entry), Counter()).update(entry.money)
        for each in found.values():
            each["margin"] = each["charged"] - sum(each[name] for name in COSTS)
        return found

    def of_months(self) -> dict[date, Counter[str]]:
        """Money by month of shipping."""
        return self.sums(lambda entry: entry.month)


def write(folder: Path, kind: str, rows: Iterable[Row], name: str = "") -> None:
    """Rows in the shop's own template of the kind. AssertionError for a column that it has not."""
    head = (folder / "templates" / f"template-{kind}.csv").read_text(encoding="utf-8").strip().split(",")
    with (folder / "inbox" / (name or f"template-{kind}.csv")).open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, head, restval="")  # raises for a column of another
        writer.writeheader()
        writer.writerows(rows)


def wrong_figures(ledger: Ledger, seen: Walk) -> Iterator[str]:
    """One entry per figure of the page that is not the ledger's."""
    months = ledger.of_months()
    table = seen.tables["months"]
    shown = {datetime.strptime(cell, "%B %Y").date(): at for at, cell in enumerate(table.column("Month"))}
    wanted = {month for month in months if month <= ledger.month}
    yield from (f"months: {month:%Y-%m} is missing or too much" for month in wanted ^ set(shown))
    for month in wanted & set(shown):
        yield from (f"months: {month:%Y-%m} {fault}" for fault in _differing(table, shown[month], months[month]))
    for name, (head, by) in GROUPS.items():
        if name in seen.tables:
            yield from (f"{name}: {fault}" for fault in _wrong_groups(ledger, seen.tables[name], head, by))
    yield from _wrong_headline(months[ledger.month], seen.sentences["headline"][0], ledger.has_cents)


def _wrong_groups(ledger: Ledger, table: Table, head: str, by: str) -> Iterator[str]:
    books = ledger.sums(lambda entry: (entry.month, getattr(entry, by)))
    books = {name: sums for (month, name), sums in books.items() if month == ledger.month and name}
    shown = {cell: at for at, cell in enumerate(table.column(head)) if cell != "account fees"}
    if set(shown) != set(books):
        yield f"groups are {sorted(shown)}, not {sorted(books)}"
    for name in set(shown) & set(books):
        yield from (f"{name} {fault}" for fault in _differing(table, shown[name], books[name]))


def _differing(table: Table, at: int, books: Counter[str]) -> Iterator[str]:
    for head, name in HEADS.items():
        if head in table.heads:
            if whole(table.column(head)[at]) != books[name]:
                yield f"{head} is {table.column(head)[at]}, not {books[name]}"
        elif books[name] and table.name == "months" and head != "Surcharges":
            yield f"{head} is not shown"


def _wrong_headline(books: Counter[str], header: str, has_cents: bool) -> Iterator[str]:
    """Of a month without anything to come the headline is the ledger's margin and parcels."""
    if "still to come" not in header:
        stated = re.search(r": (-?[^\d\s-]*[\d,.]+\d)(?: so far)? on ", header)
        assert stated, header
        cents, rounding = in_prose(stated[1]) if has_cents else (whole(stated[1]), 0)
        if abs(cents - books["margin"]) > rounding:
            yield f"the headline says {cents}, not {books['margin']}"
        if f"on {books['parcels']} parcels" not in header:
            yield f"the headline is not on {books['parcels']} parcels"
