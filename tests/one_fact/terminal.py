"""What a command prints on a terminal, against what the same command prints as JSON."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from models import columns
from models.actions.action import BETWEEN_NAMES
from models.shop_units import Units, kept_name
from tests.odd_shops.surfaces import leaves
from tests.one_fact.values import Value, typed, written

RULE = re.compile(r"^─{3,}$")
# Amounts, shares and days in a sentence; not the sides of a piece, nor numbers within a name.
FIGURE = re.compile(
    r"[-−+]?(?:[$€£¥]|[A-Z]{3} )[\d,]+(?:\.\d+)?|(?<![\w.])\d+(?:\.\d+)?%(?! interval)|\b\d{1,2} [A-Z][a-z]{2} \d{4}\b"
)
Json = Mapping[str, Sequence[Mapping[str, Any]]]


def tables(text: str) -> Iterator[tuple[list[str], list[list[str]]]]:
    """Heads and rows of each table in the text, printed at full width; cells are parted by columns of blanks."""
    lines = text.splitlines()
    for at, line in enumerate(lines):
        if RULE.match(line.strip()) and at:
            end = next((to for to in range(at + 1, len(lines)) if not lines[to].strip()), len(lines))
            rows = [each for each in lines[at + 1 : end] if not each.startswith(("and ", "left out for want"))]
            edges = _edges([lines[at - 1], *rows])
            yield _cut(lines[at - 1], edges), [_cut(row, edges) for row in rows]


def _edges(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Where the columns stand: between two of them every line has two blanks or more."""
    wide = max(map(len, lines))
    blank = [all(line[at : at + 1] in ("", " ") for line in lines) for at in range(wide)] + [True, True]
    found, start = [], 0
    for at in range(wide + 1):
        if blank[at] and blank[at + 1]:
            if start < at and not all(blank[start:at]):
                found.append((start, at))
            start = at + 1
    return found


def _cut(line: str, edges: Sequence[tuple[int, int]]) -> list[str]:
    return [line[start:end].strip() for start, end in edges]


def strange_rows(text: str, found: Json, units: Units) -> Iterator[tuple[list[str], list[str]]]:
    """Rows of the terminal's tables that are no row of the JSON's, under the same labels."""
    known = [
        {_label(name, units): (name, cell) for name, cell in row.items()} for rows in found.values() for row in rows
    ]
    for heads, rows in tables(text):
        like = [row for row in known if sum(head in row for head in heads) == _most(heads, known)]
        for row in rows:
            if not any(all(_is_cell(cell, head, of) for head, cell in zip(heads, row, strict=True)) for of in like):
                yield heads, row


def _most(heads: Sequence[str], known: Sequence[Mapping[str, Any]]) -> int:
    return max((sum(head in row for head in heads) for row in known), default=0)


def _label(name: str, units: Units) -> str:
    kept = kept_name(name)
    unit = columns.unsaid_unit(kept, units)
    return f"{columns.label(kept)}, {unit}" if unit and columns.is_measure(kept) else columns.label(kept)


def _is_cell(text: str, head: str, row: Mapping[str, tuple[str, Any]]) -> bool:
    if head not in row or not text:
        return True
    name, cell = row[head]
    cell = cell.replace(BETWEEN_NAMES, "; ") if isinstance(cell, str) else cell
    read = written(text, kept_name(name))
    return read is None or read.agrees(typed(cell, kept_name(name)))


def loose_figures(text: str, found: Any) -> list[str]:
    """Amounts, shares and days in sentences that are no cell of the JSON, no sum of a column and no text in it."""
    cells, texts = list(leaves(found)), " ".join(cell for cell in leaves(found) if isinstance(cell, str))
    numbers = [float(cell) for cell in [*cells, *_sums(found)] if isinstance(cell, int | float)]
    days = {cell[:10] for cell in cells if isinstance(cell, str)}
    printed = {each for line in text.splitlines() for each in FIGURE.findall(line)}
    return sorted(each for each in printed if each not in texts and not _is_known(each, numbers, days))


def _is_known(text: str, numbers: Sequence[float], days: set[str]) -> bool:
    if re.fullmatch(r"\d+ \w{3} \d{4}", text):
        (read,) = [written(text, "due_on")]
        return read is not None and read.read in days
    amount = written(text.lstrip("+-−"), "some_share" if text.endswith("%") else "some_cents")
    if amount is None or not isinstance(amount.read, float):
        return False
    near = Value(amount.read, amount.slack)
    return any(near.agrees(Value(abs(number))) for number in numbers)


def _sums(found: Any) -> Iterator[float]:
    """The sum of each column of money."""
    for rows in found.values() if isinstance(found, Mapping) else ():
        names = {name for row in rows if isinstance(row, Mapping) for name in row} if isinstance(rows, list) else ()
        for name in (each for each in names if each.endswith("_cents")):
            yield float(sum(row[name] for row in rows if row.get(name) is not None))
