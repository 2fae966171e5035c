"""Text files of records with one fault of structure each, and what may be read from them.

Each cell of a table is its own, so a value that slipped into another column or row is seen at once.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable
from dataclasses import dataclass

HEADERS = ("Stock no", "Kind", "Qty", "Price", "Remark")
Lines = list[list[str]]


@dataclass
class Faulty:
    """A file's text; the rows that it holds; which of them the fault touches (header: all); how it is written."""

    text: str
    rows: Lines
    touched: frozenset[int]
    delimiter: str
    name: str

    @property
    def untouched(self) -> Lines:
        return [row for at, row in enumerate(self.rows) if at not in self.touched]


def table(chance: random.Random) -> Lines:
    """Rows of unlike cells; the last column is empty in some tables, in some rows of others."""
    last_filled = chance.choice([0.0, 0.5, 1.0])
    names = ["tube", "long tripod", "Größe 3", "mount", "O'Brien", "rocker base"]
    return [
        [
            f"SKU-{number}{chance.randrange(10)}",
            f"{chance.choice(names)} {number}",
            str(100 + number),
            f"{number}.{chance.randrange(10, 99)}",
            f"note {number} {chance.choice(['', 'a b', 'left'])}".strip() if chance.random() < last_filled else "",
        ]
        for number in range(chance.randrange(4, 14))
    ]


def written(rows: Lines, delimiter: str, quoting: int) -> list[str]:
    """Each row as a line without its end."""
    lines = []
    for row in rows:
        out = io.StringIO()
        csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator="").writerow(row)  # type: ignore[arg-type]
        lines.append(out.getvalue())
    return lines


def _inserted(mark: str, line: str, place: int) -> str:
    return line[:place] + mark + line[place:]


def surplus(line: str, delimiter: str, chance: random.Random) -> str:
    return _inserted(delimiter, line, chance.choice(places(line, delimiter)))


def lacking(line: str, delimiter: str, chance: random.Random) -> str:
    place = chance.choice(places(line, delimiter))
    return line[:place] + line[place + 1 :]


def stray(line: str, delimiter: str, chance: random.Random) -> str:
    return _inserted('"', line, chance.randrange(len(line) + 1))


def unclosed(line: str, delimiter: str, chance: random.Random) -> str:
    cells = line.split(delimiter)
    at = chance.randrange(len(cells))
    cells[at] = cells[at][:-1] if cells[at].endswith('"') else f'"{cells[at]}'
    return delimiter.join(cells)


def unopened(line: str, delimiter: str, chance: random.Random) -> str:
    cells = line.split(delimiter)
    at = chance.randrange(len(cells))
    cells[at] = cells[at][1:] if cells[at].startswith('"') else f'{cells[at]}"'
    return delimiter.join(cells)


def foreign(line: str, delimiter: str, chance: random.Random) -> str:
    cells = line.split(delimiter)
    at = chance.randrange(len(cells) - 1)
    first, last = chance.choice([("'", "'"), ("“", "”"), ("«", "»"), ("`", "`")])
    cells[at] = first + cells[at].strip('"') + last
    return delimiter.join(cells)


def other_delimiter(line: str, delimiter: str, chance: random.Random) -> str:
    return line.replace(delimiter, chance.choice([mark for mark in ",;\t|" if mark != delimiter]))


def quoted_within(line: str, delimiter: str, chance: random.Random) -> str:
    cells = line.split(delimiter)
    end = '"' if cells[1].endswith('"') else ""
    cells[1] = cells[1].removesuffix(end) + ' a "b" c' + end
    return delimiter.join(cells)


def places(line: str, delimiter: str) -> list[int]:
    return [at for at, mark in enumerate(line) if mark == delimiter]


IN_A_ROW: dict[str, Callable[[str, str, random.Random], str]] = {
    each.__name__: each
    for each in (surplus, lacking, stray, unclosed, unopened, foreign, other_delimiter, quoted_within)
}


OTHER, SECOND = ["Code", "Colour", "Amount", "Unit", "Shelf"], ["X1", "red", "7", "pc", "S9"]
UNITS, TOTAL = ["(code)", "(text)", "(pieces)", "(EUR)", ""], ["Total", "", "99", "1.50", ""]
TITLES = (["Stock list"], ["Stock list", ""], ["Stock list", "of May", ""])


def in_the_file(lines: list[str], delimiter: str, chance: random.Random) -> dict[str, list[str]]:
    """The lines, the header being the first, with each fault of a whole file."""
    blank = chance.choice([[""], ["", ""], [delimiter * (len(HEADERS) - 1)]])
    head, rows, at = lines[0], lines[1:], chance.randrange(2, len(lines))
    other = [delimiter.join(OTHER), delimiter.join(SECOND)]
    return {
        "title": [*chance.choice(TITLES), *lines],
        "second header": [head, delimiter.join(UNITS), *rows],
        "short header": [delimiter.join(head.split(delimiter)[1:]), *rows],
        "total": [*lines, *chance.choice([[], blank]), delimiter.join(TOTAL)],
        "footer": [*lines, *blank, f"{len(rows)} rows"],
        "other table": [*lines, *blank, *other],
        "titled other table": [*lines, *blank, "Shelves", *other],
        "same table again": [*lines[:at], *chance.choice([[], blank]), head, *lines[at:]],
        "delimiter at the end": [head, *(row + delimiter for row in rows)],
        "blank lines": [head, *blank, *rows[:at], *blank, *rows[at:], *blank],
    }


IN_THE_FILE = tuple(in_the_file(["a,b", "1,2", "3,4"], ",", random.Random(0)))


def faulty(seed: int) -> Faulty:
    """File number `seed`: kinds of fault, places, delimiters, quoting and line ends in turn."""
    chance = random.Random(seed)
    rows, delimiter = table(chance), chance.choice(",;\t|")
    quoting = chance.choice([csv.QUOTE_MINIMAL, csv.QUOTE_ALL])
    lines = written([list(HEADERS), *rows], delimiter, quoting)
    name = [*IN_A_ROW, *IN_THE_FILE][seed % (len(IN_A_ROW) + len(IN_THE_FILE))]
    touched: frozenset[int] = frozenset()
    if name in IN_A_ROW:
        at = chance.choice([0, 1, 1 + len(rows) // 2, len(rows)])
        changed = IN_A_ROW[name](lines[at], delimiter, chance)
        if name == "quoted_within" and at:
            rows[at - 1][1] += ' a "b" c'
        lines[at] = changed
        touched = frozenset([at - 1]) if at else frozenset(range(len(rows)))
    else:
        lines = in_the_file(lines, delimiter, chance)[name]
        touched = frozenset(range(len(rows))) if name == "short header" else touched
    end = chance.choice(["\n", "\r\n"])
    return Faulty(end.join(lines) + chance.choice(["", end]), rows, touched, delimiter, name)
