"""Every sentence that a surface shows, by its id; surfaces only place them.

Each module of TOPICS holds entries in a constant ENTRIES; an id begins with its topic's word.
`tell` writes a sentence out of the tables at hand, or nothing where they do not prove it. The sentences of a claim's
sheet stand apart (`claim_sheet.py`), and topics are loaded when the first of them is asked for: a sheet needs none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    import pandas as pd

    from dashboards.review_tables import Cell, Records, Sentence
    from dashboards.sentences.entry import Entry
    from models.shop_units import Units

# Names of columns, or ids of sentences: parted by blanks, or a sequence of them.
Words: TypeAlias = str | Sequence[str]
TOPICS = (
    *("actions", "advice", "billing", "bridge", "bundles", "carton_orders", "carton_stock", "cartons", "causes"),
    *("changes", "chapters", "charges", "claims", "completed", "damage"),
    *("decisions", "insurance", "invoices", "letters", "margin", "missing", "parcel", "placements", "records"),
    *("reporting", "returns", "services", "surcharges", "tariff_change", "trials", "uncounted"),
)

__all__ = ["Words", "each_stated", "entries", "is_proven", "lines", "lines_of", "tell", "text", "topics", "words"]


def words(stated: Words) -> tuple[str, ...]:
    """The names, one by one."""
    return tuple(stated.split() if isinstance(stated, str) else stated)


def topics() -> list[ModuleType]:
    """The modules of TOPICS."""
    return [import_module(f"{__name__}.{name}") for name in TOPICS]


@cache
def entries() -> dict[str, Entry]:
    """Every entry by its id."""
    return {entry.id: entry for topic in topics() for entry in topic.ENTRIES}


def each_stated(ids: Words, known: Records) -> Iterator[Sentence]:
    """The sentences that the records prove, in the order of the ids, then of their rows. KeyError for an unknown id."""
    for id in words(ids):
        if id not in known.sentences_stated:
            known.sentences_stated[id] = tuple(entries()[id].stated(known))
        yield from known.sentences_stated[id]


def tell(ids: Words, known: Records) -> Sentence:
    """The sentences one behind the other."""
    spoken: list[str | Cell] = []
    for sentence in each_stated(ids, known):
        spoken += [*([" "] if spoken else []), *sentence]
    return tuple(spoken)


def is_proven(ids: Words, known: Records) -> bool:
    """Whether any of them is true."""
    return any(True for _ in each_stated(ids, known))


def text(sentence: Sentence, units: Units) -> str:
    """The sentence as plain text."""
    return "".join(part if isinstance(part, str) else part.spoken(units) for part in sentence)


def lines(ids: Words, known: Records, units: Units) -> list[str]:
    """The sentences as lines of plain text."""
    return [text(sentence, units) for sentence in each_stated(ids, known)]


def lines_of(ids: Words, table: str, rows: pd.DataFrame | Sequence[Mapping[str, Any]], units: Units) -> list[str]:
    """The sentences that one table proves, as lines. rows: its rows, or the cells of each."""
    from dashboards.review_tables import Records
    from models.plain_rows import plain

    return lines(ids, Records(tables={table: plain(rows) if isinstance(rows, Sequence) else rows}), units)
