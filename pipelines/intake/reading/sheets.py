"""The rows of one sheet of an XLSX file (ECMA-376, part 1), in their order and under their own numbers."""

import re
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from pipelines.intake.reading.packages import Package, Sheet, WorkbookError, local, parsed
from pipelines.intake.reading.tables import plain_header, unique_headers

# A sheet's own bounds (ECMA-376 leaves them to programs; every one of them keeps these).
MOST_ROWS, MOST_COLUMNS = 1_048_576, 16_384
_LETTERS = re.compile("([A-Z]{1,3})[0-9]+")


@dataclass
class Cell:
    """A cell as it is written: its column from 0, type, style, stored value, and formula where it has one."""

    column: int
    kind: str
    style: int
    value: str | None = None
    formula: str | None = None


def sheet_rows(package: Package, sheet: Sheet) -> Iterator[tuple[int, list[Cell]]]:
    """Number and cells of each row that is written, in rising order. Raises WorkbookError where they are not."""
    rows = _Rows()
    with package.packed.open(sheet.part) as stream:
        for _ in parsed(stream, rows.begin, rows.end, rows.text):
            yield from rows.found
            rows.found = []


class _Rows:
    """Gathers rows from the tags of a sheet."""

    def __init__(self) -> None:
        self.found: list[tuple[int, list[Cell]]] = []
        self.row, self.column = 0, -1
        self.cells: list[Cell] = []
        self.cell: Cell | None = None
        self.part = ""

    def begin(self, name: str, attributes: dict[str, str]) -> None:
        own = local(name)
        if own == "c":
            self._begin_cell(attributes)
        elif own == "row":
            self._begin_row(attributes)
        elif self.cell is not None and own in ("v", "f", "t"):
            self._begin_part(self.cell, own)
        elif own == "rPh":
            self.part = "rPh"

    def _begin_row(self, attributes: dict[str, str]) -> None:
        number = int(float(attributes.get("r", self.row + 1)))
        if number <= self.row:
            raise WorkbookError(f"its row {number:,} comes after row {self.row:,}: rows are repeated or out of order")
        if number > MOST_ROWS:
            raise WorkbookError(f"it has a row {number:,}, and a sheet has {MOST_ROWS:,}")
        self.row, self.column, self.cells = number, -1, []

    def _begin_cell(self, attributes: dict[str, str]) -> None:
        stated = attributes.get("r")
        column = self.column + 1 if stated is None else column_number(stated)
        if column <= self.column:
            raise WorkbookError(f"cell {stated} of row {self.row:,} is repeated or out of order")
        if column >= MOST_COLUMNS:
            raise WorkbookError(f"row {self.row:,} has more than {MOST_COLUMNS:,} cells")
        self.column = column
        self.cell = Cell(column, attributes.get("t", "n"), int(attributes.get("s", 0)))

    def _begin_part(self, cell: Cell, own: str) -> None:
        if self.part == "rPh":
            return
        self.part = own
        if own == "f":
            cell.formula = ""

    def text(self, said: str) -> None:
        cell, part = self.cell, self.part
        if cell is None or part in ("", "rPh"):
            return
        if part == "f":
            cell.formula = (cell.formula or "") + said
        else:
            cell.value = said if cell.value is None else cell.value + said

    def end(self, name: str) -> None:
        own = local(name)
        if own == "c" and self.cell is not None:
            if self.cell.value is not None or self.cell.formula is not None:
                self.cells.append(self.cell)
            self.cell, self.part = None, ""
        elif own == "row":
            self.found.append((self.row, self.cells))
            self.cells = []
        elif own in ("v", "f", "is", "rPh") or (own == "t" and self.part != "rPh"):
            self.part = ""


def column_number(reference: str) -> int:
    """The column of a cell such as `AB12`, from 0."""
    letters = _LETTERS.fullmatch(reference)
    if letters is None:
        raise WorkbookError(f"{reference[:20]!r} names no cell")
    number = 0
    for letter in letters[1]:
        number = number * 26 + ord(letter) - 64
    return number - 1


def head_place(rows: Sequence[Sequence[str]], mapped: Collection[str]) -> int:
    """The place of the headers among the first filled rows: where the mapped ones stand below titles only, else 0.

    Where none is mapped yet, it is the first row with as many cells as most have, or the words above it that lack one.
    """
    if not mapped:
        return _likely_place(rows)
    wanted = set(map(plain_header, mapped))
    for at, row in enumerate(rows):
        if wanted.issubset(map(plain_header, unique_headers(row))):
            return at if all(_filled(above) <= max(1, _filled(row) // 2) for above in rows[:at]) else 0
    return 0


def _likely_place(rows: Sequence[Sequence[str]]) -> int:
    usual = Counter(map(_filled, rows)).most_common(1)[0][0]
    at = next(at for at, row in enumerate(rows) if _filled(row) >= usual)
    is_short = at and _filled(rows[at - 1]) == usual - 1 and not _has_figures(rows[at - 1]) and _has_figures(rows[at])
    return at - 1 if is_short else at


def _filled(row: Sequence[str]) -> int:
    return sum(bool(cell.strip()) for cell in row)


def _has_figures(row: Sequence[str]) -> bool:
    return any(re.search(r"\d", cell) for cell in row)
