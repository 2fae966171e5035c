"""Faults below the header: other tables, totals, blank lines, line ends, encodings."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from tests.strangers.faults import FileFault, Spoiled
from tests.strangers.heads import title, unsure, whole
from tests.strangers.tables import BILL, CODES, STOCK, Layout, Table


def repeated_header(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Two exports joined: the header comes again."""
    lines = table.lines()
    return Spoiled([table.header, *lines[:place], table.header, *lines[place:]], list(table.rows), extra=1)


def second_table(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Below a blank line, a table of other columns, and fewer."""
    below = [
        "",
        table.line(("Zone", "Parcels")),
        *(table.line((zone, str(number))) for number, zone in enumerate("ABC")),
    ]
    return Spoiled([table.header, *table.lines(), *below], list(table.rows), extra=len(below))


def second_table_turned(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Below a blank line, a table of the same width whose header names other columns in these places."""
    turns = {BILL.name: (4, 2), STOCK.name: (2, 3), CODES.name: (0, 3)}
    made = _turned(table, *turns[table.layout.name])
    below = [*made.cells[:3]]
    rows = [replace(row, mark=f"{row.mark}t", why="under another header", is_valid=False) for row in table.rows[:3]]
    marked = [
        [cell + "t" if cell == row.mark else cell for cell in cells]
        for cells, row in zip(below, table.rows, strict=False)
    ]
    lines = [table.header, *table.lines(), "", made.header, *map(table.line, marked)]
    return Spoiled(lines, [*table.rows, *rows], extra=2)


def _turned(table: Table, one: int, other: int) -> Table:
    def turn(cells: Sequence[str]) -> list[str]:
        turned = list(cells)
        turned[one], turned[other] = turned[other], turned[one]
        return turned

    layout: Layout = replace(table.layout, headers=tuple(turn(table.layout.headers)))
    return replace(table, layout=layout, cells=[turn(cells) for cells in table.cells])


def footer_note(table: Table, place: int, chance: random.Random) -> Spoiled:
    below = [["8 rows"], ["", "Amounts without tax. Not an invoice."], ["End of report", "page 1 of 1"]][place % 3]
    return Spoiled([table.header, *table.lines(), *below], list(table.rows), extra=len(below))


def total_line(table: Table, place: int, chance: random.Random) -> Spoiled:
    """A total in the place of a record, its name where the key stands; nothing of it is a record."""
    cells = [""] * len(table.layout.headers)
    if table.layout is BILL:
        cells[0], cells[4] = "Total", "Total"
        cells[5] = f"{sum(float(one[5]) for one in table.cells):.2f}"
    else:
        cells[0], cells[1] = "Total", str(len(table.cells))
    return Spoiled([table.header, *table.lines(), table.line(cells)], list(table.rows), extra=1)


def total_at_left(table: Table, place: int, chance: random.Random) -> Spoiled:
    cells = ["Grand total:", *[""] * (len(table.layout.headers) - 1)]
    cells[5 if table.layout is BILL else 3] = "1234.50"
    return Spoiled([table.header, *table.lines(), "", table.line(cells)], list(table.rows), extra=2)


def subtotals(table: Table, place: int, chance: random.Random) -> Spoiled:
    """A line that sums those above it, in the middle, without a key."""
    cells = [""] * len(table.layout.headers)
    cells[-1] = "subtotal"
    if table.layout is BILL:
        cells[5] = "99.00"
    lines = table.lines()
    return Spoiled([table.header, *lines[:place], table.line(cells), *lines[place:]], list(table.rows), extra=1)


def _between(table: Table, place: int, line: str) -> Spoiled:
    lines = table.lines()
    return Spoiled([table.header, *lines[:place], line, *lines[place:]], list(table.rows), extra=1)


def blank_line(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _between(table, place, "")


def line_of_blanks(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _between(table, place, "   ")


def line_of_separators(table: Table, place: int, chance: random.Random) -> Spoiled:
    return _between(table, place, table.delimiter * (len(table.layout.headers) - 1))


def blank_lines_everywhere(table: Table, place: int, chance: random.Random) -> Spoiled:
    lines = [line for one in table.lines() for line in (one, "")]
    return Spoiled(["", table.header, "", *lines], list(table.rows), extra=len(lines) + 2)


def ruler_line(table: Table, place: int, chance: random.Random) -> Spoiled:
    """A ruler below the header, as database terminals print it."""
    made = whole(table, place, chance)
    made.lines.insert(1, table.delimiter.join("-" * max(3, len(name)) for name in table.layout.headers))
    made.extra = 1
    return made


def mixed_line_ends(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = whole(table, place, chance)
    made.ends = [["\n", "\r\n"], ["\r\n", "\n", "\r"], ["\r", "\n"], ["\r\n"] * place + ["\n"]][place % 4]
    return made


def old_line_ends(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = whole(table, place, chance)
    made.ends = ["\r"] if place % 2 else ["\r\n"]
    return made


def doubled_line_ends(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = whole(table, place, chance)
    made.ends, made.extra = ["\r\r\n"], len(made.lines)
    return made


def byte_order_mark(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = whole(table, place, chance)
    made.head = b"\xef\xbb\xbf"
    return made


def mark_and_title(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = title(table, place, chance)
    made.head = b"\xef\xbb\xbf"
    return made


def other_encoding(table: Table, place: int, chance: random.Random) -> Spoiled:
    """Said to be UTF-8, and is not: what the letters are is not proven, and the whole file may be asked about."""
    made = whole(table, place, chance)
    made.encoding = ("cp1252", "utf-16", "utf-16-be", "cp850")[place % 4]
    made.rows, made.may_be_refused, made.extra = unsure(made.rows), True, len(made.lines)
    return made


def other_byte(table: Table, place: int, chance: random.Random) -> Spoiled:
    """One line with a byte that is no UTF-8, in a column that is mapped."""
    made = whole(table, place, chance)
    made.lines[place + 1] = made.lines[place + 1].replace("-", "\udcfc", 0) + "\udcfc"
    rows = unsure(made.rows)
    made.rows, made.may_be_refused = rows, True
    return made


def no_end_at_the_end(table: Table, place: int, chance: random.Random) -> Spoiled:
    made = whole(table, place, chance)
    made.ends = [*["\n"] * (len(made.lines) - 1), ""]
    return made


def end_of_file_sign(table: Table, place: int, chance: random.Random) -> Spoiled:
    """The sign that ended files on old systems."""
    made = whole(table, place, chance)
    made.lines.append("\x1a")
    made.extra = 1
    return made


BODIES: dict[str, FileFault] = {
    function.__name__.replace("_", " "): function
    for function in (
        repeated_header,
        second_table,
        second_table_turned,
        footer_note,
        total_line,
        total_at_left,
        subtotals,
        blank_line,
        line_of_blanks,
        line_of_separators,
        blank_lines_everywhere,
        ruler_line,
        mixed_line_ends,
        old_line_ends,
        doubled_line_ends,
        byte_order_mark,
        mark_and_title,
        other_encoding,
        other_byte,
        no_end_at_the_end,
        end_of_file_sign,
    )
}
