"""A carrier's sheet of prices, a matrix of zones and weights or a long list, read as the rows of a price file.

Nothing is guessed: a decimal mark that no figure proves, amounts that may be of either unit, and heads that may be
zones or weights are asked for.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from models.errors import TariffError

Grid = Sequence[Sequence[str]]
WORDS = {
    "service": {"service", "product", "produkt"},
    "zone": {"zone", "region", "land", "country"},
    "weight": {"weight", "up to", "up to weight", "to", "max weight", "gewicht", "poids", "kg", "lb"},
    "price": {"price", "rate", "amount", "preis", "prix", "tariff"},
}
_FIGURES = re.compile(r"\d[\d.,\s'’]*")
_UNIT = re.compile(r"(?:kg|kgs|g|lb|lbs|oz)\b", re.IGNORECASE)
_HEAD = re.compile(
    r"^[^\d]{0,20}(?:\d[\d.,]*\s*(?:kg|g|lbs?|oz)?\s*(?:-|–|to|bis)\s*)?(\d[\d.,]*)\s*(?:kg|kgs|g|lbs?|oz)?\.?$", re.I
)


@dataclass(frozen=True)
class Asked:
    """What the sheet does not say: the service, its decimal mark, the unit of amounts, where the weights stand.

    digits: decimals of the currency. decimal, money (major, minor), weights (rows, columns): None where the sheet
    itself must prove it.
    """

    service: str
    digits: int = 2
    decimal: str | None = None
    money: str | None = None
    weights: str | None = None


@dataclass(frozen=True)
class Cell:
    """A price as it stands in the sheet, with its service, zone, weight and row."""

    service: str
    zone: str
    weight: str
    price: str
    row: int


Row = tuple[str, str, str, str]


def rows_of(grid: Grid, asked: Asked, name: str) -> list[Row]:
    """Rows of a price file: service, zone, up_to_weight, price_cents, empty where blank. Raises TariffError."""
    cells = list(_long_list(grid, asked) or _matrix(grid, asked, name))
    if not cells:
        raise _fault(
            name, "holds no prices", "lay out zones and weights as a matrix, or name columns zone, weight, price"
        )
    mark = asked.decimal or _proven_mark([text for cell in cells for text in (cell.weight, cell.price)], name)
    prices = [_amount(cell.price, mark, name, cell.row) for cell in cells]
    scale = Decimal(10) ** asked.digits if _is_major(prices, asked, name) else Decimal(1)
    return [
        (cell.service, cell.zone, f"{_weight(cell, mark, name):f}", _cents(price, scale, name, cell.row))
        for cell, price in zip(cells, prices, strict=True)
    ]


def _fault(name: str, what: str, next_step: str) -> TariffError:
    return TariffError(name, what, "this import; nothing was written", next_step)


def _long_list(grid: Grid, asked: Asked) -> list[Cell]:
    """The cells of a list with a row for each price; none where no row names its columns."""
    for number, row in enumerate(grid):
        heads = {kind: at for at, text in enumerate(row) for kind, words in WORDS.items() if _plain(text) in words}
        if {"zone", "weight", "price"} <= heads.keys():
            return [
                Cell(
                    service=_at(cells, heads.get("service", -1)) or asked.service,
                    zone=_at(cells, heads["zone"]),
                    weight=_at(cells, heads["weight"]),
                    price=_at(cells, heads["price"]),
                    row=number + 2 + after,
                )
                for after, cells in enumerate(grid[number + 1 :])
                if _at(cells, heads["zone"]) and _at(cells, heads["weight"])
            ]
    return []


def _plain(text: str) -> str:
    return re.sub(r"[^a-z ]", " ", text.lower()).strip()


def _at(cells: Sequence[str], place: int) -> str:
    return cells[place].strip() if 0 <= place < len(cells) else ""


def _matrix(grid: Grid, asked: Asked, name: str) -> Iterator[Cell]:
    head = next((n for n, row in enumerate(grid) if sum(bool(cell.strip()) for cell in row[1:]) >= 1), None)
    if head is None:
        return
    body = [(n + 1, row) for n, row in enumerate(grid) if n > head and _at(row, 0)]
    columns = [at for at in range(1, len(grid[head])) if _at(grid[head], at)]
    has_weights_in_rows = _weights_in_rows([row[0] for _, row in body], [grid[head][at] for at in columns], asked, name)
    for number, row in body:
        for at in columns:
            zone, weight = (grid[head][at], row[0]) if has_weights_in_rows else (row[0], grid[head][at])
            yield Cell(asked.service, _zone(zone), weight, _at(row, at), number)


def _zone(head: str) -> str:
    return re.sub(r"^zone\s+", "", head.strip(), flags=re.IGNORECASE)


def _weights_in_rows(rows: Sequence[str], columns: Sequence[str], asked: Asked, name: str) -> bool:
    if asked.weights:
        return asked.weights == "rows"
    may_be = [all(_HEAD.match(text.strip()) and not _is_zone(text) for text in heads) for heads in (rows, columns)]
    if may_be[0] and may_be[1]:
        units = [any(_UNIT.search(text) for text in heads) for heads in (rows, columns)]
        may_be = units if units[0] != units[1] else may_be
    if may_be[0] == may_be[1]:
        raise _fault(name, "does not say which of its heads are weights", "state --weights rows or --weights columns")
    return may_be[0]


def _is_zone(head: str) -> bool:
    return head.strip().lower().startswith("zone")


def _proven_mark(texts: Iterable[str], name: str) -> str:
    """The decimal mark that the figures prove. Raises TariffError where they allow both, or contradict each other."""
    figures = [found for text in texts for found in _FIGURES.findall(text)]
    proven = {mark for text in figures if (mark := _mark_of(text))}
    if len(proven) == 1:
        return proven.pop()
    if proven or any("." in text or "," in text for text in figures):
        raise _fault(name, "does not prove its decimal mark", "state --decimal . or --decimal ,")
    return "."


def _mark_of(figures: str) -> str:
    marks = [sign for sign in figures.strip(" .,") if sign in ".,"]
    if not marks:
        return ""
    if len(set(marks)) == 2:
        return marks[-1]
    after = figures.strip(" .,").rpartition(marks[-1])[2]
    return marks[0] if len(marks) == 1 and len(after) != 3 else ""


def _number(figures: str, mark: str) -> Decimal:
    plain = re.sub(r"[\s'’]", "", figures).strip(".,")
    return Decimal(plain.replace("," if mark == "." else ".", "").replace(mark, "."))


def _weight(cell: Cell, mark: str, name: str) -> Decimal:
    """The weight of a head such as `to 30 kg`; of two, as in `5 - 10 kg`, the upper."""
    found = _FIGURES.findall(cell.weight)
    if not found:
        raise _fault(f"{name}, row {cell.row}", f"has no weight in {cell.weight!r}", "write it as 30, or to 30 kg")
    return _number(found[-1], mark)


def _amount(text: str, mark: str, name: str, row: int) -> Decimal | None:
    found = _FIGURES.findall(text)
    if not found and not re.search(r"\w", text):
        return None
    if len(found) != 1 or "%" in text:
        raise _fault(f"{name}, row {row}", f"has {text!r}, which is no price", "write one amount, or leave it blank")
    return _number(found[0], mark)


def _is_major(prices: Sequence[Decimal | None], asked: Asked, name: str) -> bool:
    if asked.money or not asked.digits:
        return asked.money == "major"
    if any(price is not None and price % 1 for price in prices):
        return True
    raise _fault(name, "has whole amounts only, which may be of either unit", "state --money major or --money minor")


def _cents(price: Decimal | None, scale: Decimal, name: str, row: int) -> str:
    if price is None:
        return ""
    if price * scale % 1:
        raise _fault(f"{name}, row {row}", f"has {price}, finer than the currency", "round it as the carrier bills it")
    return str(int(price * scale))
