"""Where the table of a text file begins: its headers, found or stated, and what its first rows show."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile

from models.settings.reading_limits import Limits
from pipelines.intake.reading.line_cells import Marks
from pipelines.intake.reading.lines import Found
from pipelines.intake.reading.tables import plain_header, refuse_shape, source_error, unique_headers
from pipelines.shop.settings import Source

# Titles and remarks above a header are few; further down nothing is taken for a header.
MOST_TITLE_ROWS = 100
# So many of them may be as wide as the table; more are a table of their own.
_MOST_WIDE_ROWS = 3
_FEWEST_ROWS = 3
_NOTHING = frozenset(["", "-", "--", "?", "n/a", "na", "none", "null", "nan", "unknown", "tbd"])


@dataclass(frozen=True)
class Head:
    """Where rows of records begin: after line `last_line`.

    titles: rows above the header that hold text. above: rows there that fill as many cells as a record may.
    """

    cells: tuple[str, ...]
    last_line: int
    titles: int = 0
    is_one_line: bool = True
    above: tuple[Found, ...] = ()


def find_head(found: Sequence[Found], source: Source, name: str, limits: Limits) -> Head:
    """The header: the first row with all mapped headers, where what stands above it is no table of records.

    Without such a row it is the first row with any text. Raises SourceFileError where there is none, where quotes
    leave its cells unknown, and where it is beyond the limits.
    """
    filled = [row for row in found if not row.is_blank and not row.is_empty]
    if not filled:
        raise source_error(name, "holds no header and no row")
    wanted = set(map(plain_header, source.mapped))
    at = _place(filled, source, wanted) if wanted else 0
    rows = filled[at : at + source.header_rows]
    if faulty := next((row for row in rows if row.fault), None):
        raise source_error(name, f"line {faulty.line}, where the header should be, {faulty.fault}")
    cells = _joined(rows)
    refuse_shape(cells, name, limits)
    wide = tuple(_wide(filled[:at], rows[-1]))
    return Head(cells, rows[-1].last_line, at - len(wide), all(row.line == row.last_line for row in rows), wide)


def _place(filled: Sequence[Found], source: Source, wanted: set[str]) -> int:
    for at in range(len(filled)):
        rows = filled[at : at + source.header_rows]
        if any(row.fault for row in rows) or not wanted.issubset(map(plain_header, unique_headers(_joined(rows)))):
            continue
        return at if len(list(_wide(filled[:at], rows[-1]))) <= _MOST_WIDE_ROWS else 0
    return 0


def _wide(above: Sequence[Found], header: Found) -> Iterator[Found]:
    """The rows above the header that fill more than half as many cells: they may be records, and are counted."""
    most = max(1, _filled(header) // 2)
    yield from (row for row in above if _filled(row) > most)


def _filled(row: Found) -> int:
    """How many cells hold something; of a row that is not understood, how many there may be at most."""
    return sum(bool(cell.strip()) for cell in row.cells) if row.fault is None else len(re.findall(r"[,;\t|]", row.text))


def _joined(rows: Sequence[Found]) -> tuple[str, ...]:
    """Headers of one or several rows: the words that stand above each other."""
    width = max(len(row.cells) for row in rows)
    columns = ([row.cells[at].strip() for row in rows if at < len(row.cells)] for at in range(width))
    return tuple(" ".join(word for word in column if word) for column in columns)


def without_header(found: Sequence[Found], source: Source, name: str, limits: Limits) -> Head:
    """Columns named by their place, as many as most rows have."""
    filled = [row for row in found if not row.is_blank and not row.is_empty]
    width = usual_width(filled)
    if not width:
        raise source_error(name, "holds no header and no row")
    names = tuple(str(place) for place in range(1, width + 1))
    refuse_shape(names, name, limits)
    return Head(names, source.skip)


def usual_width(found: Iterable[Found]) -> int:
    """The number of cells that most rows have; the first of those that are equally frequent. 0 where none is known."""
    counted = Counter(len(row.cells) for row in found if row.fault is None)
    return counted.most_common(1)[0][0] if counted else 0


def has_empty_end(width: int, found: Iterable[Found]) -> bool:
    """Whether rows end in a delimiter that the header has not: most have one cell more, and that is empty."""
    known = [row for row in found if row.fault is None and not row.is_empty]
    longer = [row for row in known if len(row.cells) == width + 1 and not row.cells[-1].strip()]
    return len(longer) > 1 and len(longer) * 2 > len(known)


def columns_of_figures(found: Sequence[Found], width: int) -> tuple[int, ...]:
    """Columns in which every row up to the first gap holds figures, the first row left out; few rows prove nothing."""
    rows = [row.cells for row in takewhile(lambda row: not row.is_blank and not row.is_empty, found[1:])]
    even = [cells for cells in rows if len(cells) == width]
    if len(even) < _FEWEST_ROWS:
        return ()
    return tuple(at for at in range(width) if all(re.search(r"\d", cells[at]) for cells in even))


def columns_of_inches(found: Sequence[Found], marks: Marks) -> frozenset[int]:
    """Columns in which two rows or more have a quote behind a number as an inch mark: one might be a stray quote."""
    counted: Counter[int] = Counter()
    for row in found:
        if marks.quote and marks.quote in row.text:
            counted.update(at for at, cell in enumerate(marks.plain(row.text)) if marks.has_inches(cell))
    return frozenset(at for at, count in counted.items() if count > 1)


def columns_enclosed(found: Sequence[Found], marks: Marks, width: int) -> dict[int, str]:
    """Columns in which other quotes enclose every cell, and two or more: place -> these quotes. One might be text."""
    ends: dict[int, Counter[str]] = {}
    for row in found:
        pieces = [] if marks.are_stated else marks.plain(row.text)
        for at, cell in enumerate(pieces if len(pieces) == width else []):
            if cell.strip():
                ends.setdefault(at, Counter())[marks.foreign_ends(cell)] += 1
    only = {at: next(iter(seen.items())) for at, seen in ends.items() if len(seen) == 1}
    return {at: quotes for at, (quotes, times) in only.items() if quotes and times > 1}


def looks_like_headers(cells: Sequence[str], figures: Sequence[int]) -> bool:
    """Whether a row has words where every other row has figures."""
    found = [cells[at].strip(" ").casefold() for at in figures if at < len(cells)]
    return any(cell not in _NOTHING for cell in found) and not any(re.search(r"\d", cell) for cell in found)
