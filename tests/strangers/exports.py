"""Three exports of an invented shop as grids of cells: a carrier's bill, a marketplace's sales, a carton catalogue."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from tests.strangers.trials import Row

Grid = list[list[Any]]
CM = 2.54


@dataclass(frozen=True)
class Export:
    """Headers, typed cells, the record of each row, and what the user has to say that no file says."""

    kind: str
    headers: tuple[str, ...]
    cells: Grid
    rows: tuple[Row, ...]
    mark: str
    judged: tuple[str, ...]
    constants: tuple[str, ...] = ()

    def texts(self, spell: Callable[[Any], str] = str) -> Grid:
        """The cells as a text file holds them."""
        return [[spelled(cell, spell) for cell in cells] for cells in self.cells]


def spelled(cell: Any, spell: Callable[[Any], str] = str) -> str:
    """A cell as text: days in the order of ISO 8601, what is missing empty."""
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.strftime("%Y-%m-%d %H:%M:%S")
    return spell(cell) if isinstance(cell, float) else str(cell)


def in_decimal_commas(number: Any) -> str:
    """12.5 as 12,50."""
    return f"{number:.2f}".replace(".", ",")


def bill(name: str, chance: random.Random, count: int) -> Export:
    """A carrier's invoice lines."""
    cells, rows = [], []
    for number in range(count):
        cents, pounds = chance.randrange(150, 9_000), chance.randrange(10, 900) / 10
        parcel, code = f"NL{name}{number:02}", chance.choice(("BASE", "FUEL", "LONG SIDE", "HOME"))
        day = date(2026, 10, 13) + timedelta(days=number % 4)
        cells.append([f"INV-{name}", number + 1, day, parcel, code, cents / 100, pounds])
        rows.append(Row(parcel, ((f"INV-{name}", number + 1, day, code, cents, pounds),), "a line of the bill", True))
    headers = ("Invoice number", "Line", "Invoice date", "Parcel", "Code", "Amount", "Charged weight (lb)")
    judged = ("invoice_number", "line_number", "invoiced_on", "charge_code", "amount_cents", "billed_weight_lb")
    return Export("charges", headers, cells, tuple(rows), "parcel_id", judged, ("carrier=Northline",))


def sales(name: str, chance: random.Random, count: int) -> Export:
    """A marketplace's sale lines."""
    cells, rows = [], []
    for number in range(count):
        price, postage = chance.randrange(500, 40_000), chance.randrange(0, 6_000)
        sale, goods = f"S-{name}{number:02}", chance.choice(("tripod", "curtain rod", "mount, short"))
        paid = datetime(2026, 10, 13, 9, 5) + timedelta(minutes=97 * number)
        pieces = 1 + number % 3
        cells.append([sale, 1, paid, goods, pieces, price / 100, postage / 100])
        rows.append(Row(sale, ((1, paid, goods, pieces, price, postage),), "a line of a sale", True))
    headers = ("Order number", "Line", "Paid at", "Item", "Qty", "Unit price", "Shipping charged")
    judged = ("line_number", "sold_at", "item_type", "quantity", "item_price_cents", "shipping_charged_cents")
    return Export("sales", headers, cells, tuple(rows), "sale_id", judged)


def cartons(name: str, chance: random.Random, count: int) -> Export:
    """A carton catalogue in centimetres."""
    cells, rows = [], []
    for number in range(count):
        sides = sorted((chance.randrange(80, 1_600) / 10 for _ in range(3)), reverse=True)
        cents, stock = chance.randrange(60, 900), chance.randrange(500)
        code, since = f"C{name}{number:02}", date(2026, 1, 15) + timedelta(days=number)
        cells.append([code, since, *sides, cents / 100, stock])
        rows.append(Row(code, ((since, *(side / CM for side in sides), cents, stock),), "a carton", True))
    headers = (
        "Box code",
        "Valid from",
        "Inside length (cm)",
        "Inside width (cm)",
        "Inside height (cm)",
        "Unit cost",
        "On hand",
    )
    inside = tuple(f"inside_{side}_in" for side in ("length", "width", "height"))
    judged = ("effective_from", *inside, "unit_cost_cents", "on_hand")
    return Export("cartons", headers, cells, tuple(rows), "carton_code", judged)


EXPORTS: dict[str, Callable[[str, random.Random, int], Export]] = {"bill": bill, "sales": sales, "cartons": cartons}


def without_last(export: Export, places: Sequence[int], why: str) -> Export:
    """The export where in some rows the last column is not known: stored without it, or rejected."""
    rows = list(export.rows)
    for at in places:
        rows[at] = replace(rows[at], allowed=((*rows[at].allowed[0][:-1], None),), is_valid=False, why=why)
    return replace(export, rows=tuple(rows))
