"""Whole tables as plain text files, with the records that their lines stand for."""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Literal

from pipelines.shop.settings import ColumnSource, Source
from tests.strangers.trials import Row

GOODS = ("tripod", "curtain rod", "tube, short", 'focuser 2"', "mount", "dew shield", "Rohr Größe 2", "it's a pole")
WORDS = ("ground", "express", "two day", "freight", "drop-off")


@dataclass(frozen=True)
class Layout:
    """A header, the map by which it is read, what the lines hold; `text` is the place and column of a plain text."""

    name: str
    kind: str
    headers: tuple[str, ...]
    columns: dict[str, ColumnSource]
    mark: str
    judged: tuple[str, ...]
    text: tuple[int, str]

    @property
    def is_all_mapped(self) -> bool:
        """Whether no column is left out of the map, so that nothing in a line may be private."""
        return set(self.headers) <= {said.column for said in self.columns.values()}

    def source(self, delimiter: str, encoding: str = "utf-8", form: str = "csv") -> Source:
        """The map with every statement that a user can make about such a file."""
        text: dict[str, Any] = {"delimiter": delimiter, "encoding": encoding} if form == "csv" else {}
        return Source(self.name, self.kind, "*", self.columns, format=form, decimal=".", date_order="ymd", **text)


# Texts beside texts, then numbers: a cell too many may shift one text into another's place.
BILL = Layout(
    "bill",
    "charges",
    ("Document", "Reference", "Service", "Zone", "Charge", "Net", "Weight", "Shipped", "Note"),
    {
        "carrier": ColumnSource(value="Northline"),
        "line_number": ColumnSource(value="1"),
        "invoiced_on": ColumnSource(value="2026-12-31"),
        "invoice_number": ColumnSource("Document"),
        "sale_id": ColumnSource("Reference"),
        "service": ColumnSource("Service"),
        "zone": ColumnSource("Zone"),
        "charge_code": ColumnSource("Charge"),
        "amount_cents": ColumnSource("Net"),
        "billed_weight_lb": ColumnSource("Weight", unit="lb"),
        "shipped_on": ColumnSource("Shipped"),
    },
    "invoice_number",
    ("sale_id", "service", "zone", "charge_code", "amount_cents", "billed_weight_lb", "shipped_on"),
    (4, "charge_code"),
)
# Nothing but texts: no type gives a shift away.
STOCK = Layout(
    "stock",
    "skus",
    ("Shelf", "Stock no", "Kind", "Colour", "Note"),
    {"sku": ColumnSource("Stock no"), "item_type": ColumnSource("Kind")},
    "sku",
    ("item_type",),
    (2, "item_type"),
)
# Every column is mapped, the last of them may be empty.
CODES = Layout(
    "codes",
    "charge_codes",
    ("Carrier", "Code", "Kind", "Surcharge"),
    {
        "carrier": ColumnSource("Carrier"),
        "charge_code": ColumnSource("Code"),
        "charge_kind": ColumnSource("Kind"),
        "surcharge": ColumnSource("Surcharge"),
    },
    "charge_code",
    ("carrier", "charge_kind", "surcharge"),
    (0, "carrier"),
)
LAYOUTS = (BILL, STOCK, CODES)


@dataclass
class Table:
    """A file before anything happens to it: cells and records, line for line."""

    layout: Layout
    delimiter: str
    cells: list[list[str]]
    rows: list[Row]
    quoted: bool = False

    @property
    def header(self) -> str:
        return self.line(self.layout.headers)

    def line(self, cells: Sequence[str]) -> str:
        """One line after RFC 4180 (quoted where it must be, or everywhere), without its end."""
        if len(self.delimiter) > 1:
            return self.delimiter.join(cells)
        out = io.StringIO()
        quoting: Literal[0, 1] = csv.QUOTE_ALL if self.quoted else csv.QUOTE_MINIMAL
        csv.writer(out, delimiter=self.delimiter, quoting=quoting, lineterminator="").writerow(cells)
        return out.getvalue()

    def lines(self) -> list[str]:
        """The lines of all rows."""
        return [self.line(cells) for cells in self.cells]


def table(layout: Layout, delimiter: str, name: str, chance: random.Random, count: int = 8) -> Table:
    """A table of `count` rows whose marks begin with `name`."""
    is_plain = len(delimiter) > 1
    write = {BILL.name: _bill, STOCK.name: _stock, CODES.name: _code}[layout.name]
    made = [write(f"{name}-{number}", number, chance, is_plain) for number in range(count)]
    whole = Table(layout, delimiter, [cells for cells, _ in made], [row for _, row in made])
    whole.quoted = chance.random() < 0.3
    return whole


def _bill(mark: str, number: int, chance: random.Random, is_plain: bool) -> tuple[list[str], Row]:
    cents, grams = chance.randrange(100, 99_999), chance.randrange(1, 9_000)
    shipped = date(2026, 1, 1) + timedelta(days=chance.randrange(300))
    goods, service, zone = _goods(chance, is_plain), chance.choice(WORDS), chance.choice("ABCDE")
    has_weight, has_zone, has_note = chance.random() < 0.7, chance.random() < 0.8, chance.random() < 0.5
    cells = [
        mark,
        f"S{number}",
        service,
        zone if has_zone else "",
        goods,
        f"{cents / 100:.2f}",
        f"{grams / 100:.2f}" if has_weight else "",
        shipped.isoformat(),
        "as agreed" if has_note else "",
    ]
    record = (
        f"S{number}",
        service,
        zone if has_zone else None,
        goods,
        cents,
        grams / 100 if has_weight else None,
        shipped,
    )
    return cells, Row(mark, (record,), "untouched", is_valid=True)


def _stock(mark: str, number: int, chance: random.Random, is_plain: bool) -> tuple[list[str], Row]:
    goods = _goods(chance, is_plain)
    cells = [f"R{number}", mark, goods, chance.choice(("black", "grey", "")), chance.choice(("as agreed", ""))]
    return cells, Row(mark, ((goods,),), "untouched", is_valid=True)


def _code(mark: str, number: int, chance: random.Random, is_plain: bool) -> tuple[list[str], Row]:
    kind, surcharge = chance.choice(("base", "fuel", "surcharge")), chance.choice(("long side", "over, long", ""))
    surcharge = "long side" if is_plain and surcharge else surcharge
    record = ("Northline", kind, surcharge or None)
    return ["Northline", mark, kind, surcharge], Row(mark, (record,), "untouched", is_valid=True)


def _goods(chance: random.Random, is_plain: bool) -> str:
    """A text; where nothing can be quoted, one that needs no quotes."""
    return "tripod" if is_plain else chance.choice(GOODS)
