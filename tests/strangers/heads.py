"""Faults above the rows: titles, comments, headers of two rows, headers that are short."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from tests.strangers.faults import TOUCHED, FileFault, Spoiled
from tests.strangers.tables import Table
from tests.strangers.trials import Row


def whole(table: Table, place: int, chance: random.Random) -> Spoiled:
    return Spoiled([table.header, *table.lines()], list(table.rows))


def unsure(rows: Sequence[Row], why: str = TOUCHED) -> list[Row]:
    """The rows, with nothing of them due."""
    return [replace(row, is_valid=False, why=why) for row in rows]


def _with_title(table: Table, titles: list[str]) -> Spoiled:
    return Spoiled([*titles, table.header, *table.lines()], list(table.rows), extra=len(titles))


def title(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _with_title(table, ["Charges of October 2026"])


def title_and_blank(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _with_title(table, ["Charges of October 2026", ""])


def titles_of_pairs(table: Table, place: int, chance: random.Random) -> Spoiled:
    pairs = (("Account", "4711"), ("Period", "2026-10"), ("Made on", "2026-11-02"))
    return _with_title(table, [table.delimiter.join(pair) for pair in pairs[: place % 3 + 1]])


def title_padded(table: Table, place: int, chance: random.Random) -> Spoiled:
    """As a spreadsheet exports a title: padded with separators to the width of the table."""
    wide = len(table.layout.headers)
    return _with_title(table, [table.delimiter.join(["Charges", *[""] * (wide - 1)]), table.delimiter * (wide - 1)])


def title_of_width(table: Table, place: int, chance: random.Random) -> Spoiled:
    """A line above the header with as many cells as the header has."""
    return _with_title(table, [table.delimiter.join(f"Block {number}" for number in range(len(table.layout.headers)))])


def comment_lines(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _with_title(table, ["# made by the carrier's export", "# one line per charge"])


def separator_line(table: Table, place: int, chance: random.Random) -> Spoiled:
    """The first line that tells spreadsheets the delimiter."""
    return _with_title(table, [f"sep={table.delimiter}"])


def second_header_row(table: Table, place: int, chance: random.Random) -> Spoiled:
    units = ["USD" if one == "Net" else "lb" if one == "Weight" else "" for one in table.layout.headers]
    if not any(units):
        # With a word for each column it would be a row like any other.
        units[2] = "(word)"
    return Spoiled([table.header, table.line(units), *table.lines()], list(table.rows), extra=1)


def header_of_two_rows(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Groups of columns above their names."""
    wide = len(table.layout.headers)
    groups = ["Document", *[""] * (wide // 2 - 1), "Parcel", *[""] * (wide - wide // 2 - 1)]
    return Spoiled([table.line(groups), table.header, *table.lines()], list(table.rows), extra=1)


def header_short_at_end(table: Table, place: int, chance: random.Random) -> Spoiled:
    header = table.line(table.layout.headers[:-1])
    return Spoiled([header, *table.lines()], unsure(table.rows), may_be_refused=True)


def header_short_at_start(table: Table, place: int, chance: random.Random) -> Spoiled:
    """A first column without a name, as some statistics programs write it: read from the left, all is shifted."""
    lines = [table.line([str(number), *cells]) for number, cells in enumerate(table.cells)]
    return Spoiled([table.header, *lines], unsure(table.rows), may_be_refused=True)


def header_with_empty_start(table: Table, place: int, chance: random.Random) -> Spoiled:
    lines = [table.line([str(number), *cells]) for number, cells in enumerate(table.cells)]
    return Spoiled([table.line(["", *table.layout.headers]), *lines], list(table.rows))


def separator_after_all(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Each line, the header too, ends with a separator."""
    return Spoiled([line + table.delimiter for line in (table.header, *table.lines())], list(table.rows))


def separator_after_rows(table: Table, place: int, chance: random.Random) -> Spoiled:
    lines = [line + table.delimiter for line in table.lines()]
    return Spoiled([table.header, *lines], unsure(table.rows), may_be_refused=True)


HEADS: dict[str, FileFault] = {
    function.__name__.replace("_", " "): function
    for function in (
        whole,
        title,
        title_and_blank,
        titles_of_pairs,
        title_padded,
        title_of_width,
        comment_lines,
        separator_line,
        second_header_row,
        header_of_two_rows,
        header_short_at_end,
        header_short_at_start,
        header_with_empty_start,
        separator_after_all,
        separator_after_rows,
    )
}
