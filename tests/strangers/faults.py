"""Structural faults: each spoils one line, or the file around the lines, in a known way.

Kinds after RFC 4180 and the pollutions that Vitagliano et al. count in public files (Pollock: a data loading benchmark,
PVLDB 16, 2023) and van den Burg, Nazábal and Sutton find in theirs (Wrangling messy CSV files by detecting row and type
patterns, Data Mining and Knowledge Discovery 33, 2019).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from tests.strangers.tables import BILL, Table
from tests.strangers.trials import Row

TOUCHED = "touched: exact or rejected"


@dataclass
class Spoiled:
    """A file in the making."""

    lines: list[str]
    rows: list[Row]
    ends: list[str] = field(default_factory=lambda: ["\n"])
    head: bytes = b""
    encoding: str = "utf-8"
    extra: int = 0
    may_be_refused: bool = False

    def content(self) -> bytes:
        """The bytes: each line with the next of the line ends."""
        text = "".join(line + self.ends[at % len(self.ends)] for at, line in enumerate(self.lines))
        return self.head + text.encode(self.encoding, "surrogateescape")


# What a spoiled line says, and what may be stored of it beside what it should have said: contract column to value.
Line = tuple[str, tuple[dict[str, object], ...]]
LineFault = Callable[[Table, int, random.Random], Line | None]
FileFault = Callable[[Table, int, random.Random], Spoiled]


def spoiled_line(fault: LineFault, table: Table, place: int, chance: random.Random) -> Spoiled | None:
    """The file with one line spoiled; None where the fault does not apply to such a table."""
    made = fault(table, place, chance)
    if made is None:
        return None
    line, others = made
    lines, rows = table.lines(), list(table.rows)
    lines[place] = line
    exact, names = rows[place].allowed[0], table.layout.judged
    also = tuple(tuple(other.get(name, value) for name, value in zip(names, exact, strict=True)) for other in others)
    rows[place] = replace(rows[place], allowed=(exact, *also), why=TOUCHED, is_valid=False, shown=line[:100])
    return Spoiled([table.header, *lines], rows, extra=1)


def _raw(table: Table, place: int, at: int, written: str) -> str:
    """The line with one cell written as it stands, the others as they should be."""
    cells = [table.line([cell]) if cell else "" for cell in table.cells[place]]
    return table.delimiter.join([*cells[:at], written, *cells[at + 1 :]])


# A text in the middle of the line: how it is written, and which values may be stored. {d} is the delimiter.
TEXTS: dict[str, tuple[str, tuple[str, ...]]] = {
    "separator in text": ("pole{d}long", ("pole{d}long",)),
    "stray quote": ('pole 2" long', ('pole 2" long',)),
    "stray quote at the end": ('pole 2"', ('pole 2"',)),
    "unclosed quote": ('"pole', ("pole", '"pole')),
    "text after a closing quote": ('"pole" x', ('"pole" x',)),
    "bare quote within quotes": ('"pole 2" long"', ('pole 2" long',)),
    "bare quotes around a word": ('"a "long" pole"', ('a "long" pole',)),
    "bare quote before a separator": ('"pole 2"{d} long"', ('pole 2"{d} long',)),
    "doubled quotes": ('"pole 2"" long"', ('pole 2" long',)),
    "doubled quotes and separator": ('"pole 2""{d} long"', ('pole 2"{d} long',)),
    "backslash before a quote": ('"pole 2\\" long"', ('pole 2" long', 'pole 2\\" long')),
    "backslash, quote, separator": ('"pole 2\\"{d} long"', ('pole 2"{d} long', 'pole 2\\"{d} long')),
    "backslash at the end": ('"pole\\"', ("pole\\",)),
    "foreign quotes": ("'pole'", ("pole", "'pole'")),
    "foreign quotes and separator": ("'pole{d} long'", ("pole{d} long",)),
    "curly quotes and separator": ("“pole{d} long”", ("pole{d} long", "“pole{d} long”")),
    "blank before a quote": (' "pole{d} long"', ("pole{d} long",)),
    "unquoted line break": ("pole\nlong", ()),
    "NUL in a text": ("po\0le", ()),
}


def _spoiled_text(name: str) -> LineFault:
    written, allowed = TEXTS[name]

    def fault(table: Table, place: int, chance: random.Random) -> Line | None:
        at, column = table.layout.text
        if at == 0 and "\n" in written:
            # What follows the break would be a whole line that nothing gives away.
            return None
        others: tuple[dict[str, object], ...] = tuple({column: one.format(d=table.delimiter)} for one in allowed)
        return _raw(table, place, at, written.format(d=table.delimiter)), others

    return fault


def too_many_within(table: Table, place: int, chance: random.Random) -> Line:
    cells = list(table.cells[place])
    cells.insert(chance.randrange(1, len(cells) - 1), "")
    return table.line(cells), ()


def too_many_at_start(table: Table, place: int, chance: random.Random) -> Line:
    return table.line(["", *table.cells[place]]), ()


def too_many_at_end(table: Table, place: int, chance: random.Random) -> Line:
    return table.line([*table.cells[place], ""]), ()


def too_many_with_empty_end(table: Table, place: int, chance: random.Random) -> Line:
    """Shifted by one, and the last cell, empty as it is, seems to be the one too many."""
    cells = [*table.cells[place][:-1], ""]
    cells.insert(chance.randrange(1, len(cells) - 1), "")
    return table.line(cells), ()


def too_few_within(table: Table, place: int, chance: random.Random) -> Line | None:
    if table.quoted:
        return None
    cells, at = list(table.cells[place]), chance.randrange(0, len(table.cells[place]) - 1)
    cells[at : at + 2] = [f"{cells[at]} {cells[at + 1]}"]
    return table.line(cells), ()


def too_few_with_empty_end(table: Table, place: int, chance: random.Random) -> Line | None:
    """A cell is gone, all after it moved to the left; the last, empty as it was, seems to be the one gone."""
    if len(table.cells[place]) < 5:
        return None
    cells = [*table.cells[place][:-1], ""]
    del cells[chance.randrange(2, len(cells) - 2)]
    return table.line(cells), ()


def cut_off(table: Table, place: int, chance: random.Random) -> Line:
    """A line that ends early, as where a program was stopped."""
    return table.line(table.cells[place][: chance.randrange(2, len(table.cells[place]))]), ()


def unclosed_last(table: Table, place: int, chance: random.Random) -> Line:
    return _raw(table, place, len(table.cells[place]) - 1, '"as agreed'), ({},)


def unclosed_first(table: Table, place: int, chance: random.Random) -> Line:
    return _raw(table, place, 0, f'"{table.cells[place][0]}'), ({},)


def unclosed_number(table: Table, place: int, chance: random.Random) -> Line | None:
    return (_raw(table, place, 5, f'"{table.cells[place][5]}'), ()) if table.layout is BILL else None


def nul_at_the_end(table: Table, place: int, chance: random.Random) -> Line:
    return table.lines()[place] + "\0\0\0", ()


def order_mark_within(table: Table, place: int, chance: random.Random) -> Line:
    """A byte order mark where one file was joined to another."""
    return "\ufeff" + table.lines()[place], ()


def two_on_one_line(table: Table, place: int, chance: random.Random) -> Line:
    """The end between a record and its copy is lost."""
    return table.line([*table.cells[place], *table.cells[place]]), ()


LINE_FAULTS: dict[str, LineFault] = {name: _spoiled_text(name) for name in TEXTS} | {
    function.__name__.replace("_", " "): function
    for function in (
        too_many_within,
        too_many_at_start,
        too_many_at_end,
        too_many_with_empty_end,
        too_few_within,
        too_few_with_empty_end,
        cut_off,
        unclosed_last,
        unclosed_first,
        unclosed_number,
        nul_at_the_end,
        order_mark_within,
        two_on_one_line,
    )
}
