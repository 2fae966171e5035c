"""A shop of twenty parcels a month that has its orders with titles, one carrier's invoices and its label history.

No item types, no stock numbers, no bench log, no tariff. The generator keeps the books beside the files: what each
order brought and each label and invoice line cost, as plain numbers, from which the sums are made without the program.
"""

from __future__ import annotations

import csv
import random
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

CARRIER = "Hollowbrook Freight"
MONTHS = (date(2026, 8, 1), date(2026, 9, 1), date(2026, 10, 1))
PARCELS = 20
# Words of the offers and how the shop embellishes them. Every kind's words stand in all of its titles.
KINDS = {
    "brass sextant": ("Antique brass sextant", "Sextant, brass, in its case", "Ship's brass sextant w/ box"),
    "oak easel": ("Oak easel for studio", "Folding easel - oak", "Studio easel (oak)"),
    "barometer": ("Aneroid barometer", "Barometer with thermometer", "Wall barometer"),
}
PRAISE = ("", " - rare", " L@@K!", " - must see", " *WOW*")
SINGLE = ("Copper weather vane rooster", "Pair of iron fire dogs", "Slate roofing hammer", "Cooper's croze plane")
# What the carrier calls its charges -> kind, and what the owner would answer.
WORDS = {"Trans. chg": "base", "Energy adj.": "fuel", "Oversz 48+": "surcharge: long side", "Addr corr": "adjustment"}


@dataclass(frozen=True)
class Line:
    """One line of an invoice."""

    parcel: str
    word: str
    cents: int
    pounds: int
    side: int
    day: date
    invoiced_on: date


@dataclass(frozen=True)
class Order:
    """One order, one parcel. kind: its words, empty for a single piece. state: as the marketplace writes it."""

    number: str
    parcel: str
    kind: str
    title: str
    day: date
    shipping: int
    refunded: int
    state: str
    quoted: int
    pounds: int
    side: int
    is_numbered: bool
    is_referred: bool

    @property
    def has_label(self) -> bool:
        """Whether its label is in the history: one in four was bought elsewhere, with the order's number on it."""
        return self.state != "Cancelled" and not self.is_referred


@dataclass
class Books:
    """All orders and invoice lines."""

    orders: list[Order] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)

    def income(self, order: Order) -> int:
        """Shipping kept of an order, in cents."""
        if order.state == "Cancelled":
            return 0
        if order.state == "Refunded":
            return 0 if not order.refunded else order.shipping - order.refunded
        return order.shipping - order.refunded

    def margins(self, group_of: Mapping[str, str]) -> dict[tuple[date, str], tuple[int, int, int]]:
        """By month of shipping and group: parcels, cents billed, margin. group_of: parcel -> group."""
        billed: dict[str, int] = defaultdict(int)
        for line in self.lines:
            billed[line.parcel] += line.cents
        found: dict[tuple[date, str], tuple[int, int, int]] = defaultdict(lambda: (0, 0, 0))
        for order in (each for each in self.orders if each.parcel in billed):
            key = (order.day.replace(day=1), group_of[order.parcel])
            count, cents, margin = found[key]
            earned = self.income(order) - billed[order.parcel]
            found[key] = (count + 1, cents + billed[order.parcel], margin + earned)
        return dict(found)

    def quotes(self, group_of: Mapping[str, str]) -> dict[tuple[date, str], tuple[int, int]]:
        """By month of shipping and group, of orders with a label: cents quoted and cents billed."""
        found: dict[tuple[date, str], tuple[int, int]] = defaultdict(lambda: (0, 0))
        for order in (each for each in self.orders if each.has_label):
            key = (order.day.replace(day=1), group_of[order.parcel])
            billed = sum(line.cents for line in self.lines if line.parcel == order.parcel)
            found[key] = (found[key][0] + order.quoted, found[key][1] + billed)
        return dict(found)

    def word_costs(self) -> dict[str, int]:
        """By word of the invoices: cents."""
        found: dict[str, int] = defaultdict(int)
        for line in self.lines:
            found[line.word] += line.cents
        return dict(found)


def books(seed: int) -> Books:
    """Three months of orders; a few cancelled, returned or refunded, two labels a month never used."""
    chance, made = random.Random(seed), Books()
    for month in MONTHS:
        for place in range(PARCELS):
            order = _order(chance, month, place)
            made.orders.append(order)
            if order.state != "Cancelled":
                made.lines.extend(_billed(chance, order))
    return made


def _order(chance: random.Random, month: date, place: int) -> Order:
    kind = chance.choice([*KINDS, *KINDS, ""])
    title = chance.choice(KINDS[kind] if kind else SINGLE)
    state = {3: "Cancelled", 7: "Returned", 11: "Refunded"}.get(place, "Completed")
    shipping = chance.randrange(900, 4_500)
    refunded = chance.randrange(100, shipping) if state in ("Returned", "Refunded") and chance.random() < 0.7 else 0
    pounds, number = chance.randint(2, 40), f"{month:%m}-{place + 100}"
    how = chance.random()
    return Order(
        number=number,
        parcel=f"HB{month:%m}{place:04}",
        kind=kind,
        title=title + chance.choice(PRAISE),
        day=month + timedelta(days=chance.randrange(25)),
        shipping=shipping,
        refunded=refunded,
        state=state,
        quoted=chance.randrange(700, 3_000),
        pounds=pounds,
        side=chance.randint(8, 60),
        is_numbered=how < 0.5,
        is_referred=0.5 <= how < 0.75,
    )


def _billed(chance: random.Random, order: Order) -> Iterator[Line]:
    billed_on = (order.day.replace(day=1) + timedelta(days=32)).replace(day=4)
    amounts = {"Trans. chg": order.quoted, "Energy adj.": order.quoted // 9}
    if order.side > 48:
        amounts["Oversz 48+"] = 1_150
    if chance.random() < 0.15:
        amounts["Addr corr"] = chance.randrange(50, 900)
    heavier = order.pounds + chance.choice([0, 0, 0, 2])
    for word, cents in amounts.items():
        yield Line(order.parcel, word, cents, heavier, order.side, order.day, billed_on)


def write(folder: Path, made: Books) -> None:
    """orders.csv, invoice.csv and labels.csv, as such exports are: amounts with a point, dates as 2026-10-05."""
    folder.mkdir(parents=True, exist_ok=True)
    _write(folder / "orders.csv", _order_rows(made))
    _write(folder / "invoice.csv", _invoice_rows(made))
    _write(folder / "labels.csv", _label_rows(made))


def _order_rows(made: Books) -> Iterator[dict[str, object]]:
    for each in made.orders:
        yield {
            "Order number": each.number,
            "Sale date": f"{each.day}",
            "Item title": each.title,
            "Quantity": 1,
            "Item price": "120.00",
            "Shipping": money(each.shipping),
            "Shipping refund": money(each.refunded) if each.refunded else "",
            "Order status": each.state,
            "Tracking number": each.parcel if each.is_numbered and each.state != "Cancelled" else "",
        }


def _invoice_rows(made: Books) -> Iterator[dict[str, object]]:
    referred = {each.parcel: each.number for each in made.orders if each.is_referred}
    for each in made.lines:
        yield {
            "Invoice": f"F-{each.invoiced_on:%Y%m}",
            "Invoice date": f"{each.invoiced_on}",
            "Tracking number": each.parcel,
            "Customer reference": referred.get(each.parcel, ""),
            "Ship date": f"{each.day}",
            "Description": each.word,
            "Net amount": money(each.cents),
            "Billed weight (lb)": each.pounds,
            "Length (in)": each.side,
            "Width (in)": 6,
            "Height (in)": 6,
        }


def _label_rows(made: Books) -> Iterator[dict[str, object]]:
    """A label for every order that was sent; one never used and one voided in every month."""
    for each in made.orders:
        if not each.has_label:
            continue
        yield _label(each.parcel, each.number, each.day, each.quoted, each.pounds, each.side, f"{each.day}", "no")
    for number, month in enumerate(MONTHS):
        yield _label(f"UNUSED{number}", "", month + timedelta(days=9), 1_000 + number, 5, 12, "", "no")
        yield _label(f"VOID{number}", "", month + timedelta(days=9), 2_000 + number, 5, 12, "", "yes")


def _label(
    parcel: str, order: str, day: date, quoted: int, pounds: int, side: int, scan: str, voided: str
) -> dict[str, object]:
    return {
        "Tracking number": parcel,
        "Order number": order,
        "Label date": f"{day}",
        "Postage": money(quoted),
        "Weight (lb)": pounds,
        "Length (in)": 6,
        "Width (in)": side,
        "Height (in)": 6,
        "First scan": scan,
        "Voided": voided,
    }


def money(cents: int) -> str:
    """An amount as exports write it."""
    return f"{cents // 100}.{cents % 100:02}"


def _write(path: Path, rows: Iterator[dict[str, object]] | Sequence[dict[str, object]]) -> None:
    made = list(rows)
    with path.open("w", newline="", encoding="utf-8") as opened:
        writer = csv.DictWriter(opened, list(made[0]))
        writer.writeheader()
        writer.writerows(made)
