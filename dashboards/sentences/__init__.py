"""Every sentence that a surface shows, by its id; surfaces only place them.

Each module here holds the entries of one topic in a constant ENTRIES, under ids that begin with the topic's word.
`tell` writes a sentence out of the tables at hand, or nothing where they do not prove it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from dashboards.parts import Cell, Records, Sentence
from dashboards.sentences.entry import Entry

__all__ = ["Entry", "each_told", "entries", "is_told", "lines", "tell", "text"]


@cache
def entries() -> dict[str, Entry]:
    """Every entry by its id."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    found = [entry for module in modules for entry in getattr(module, "ENTRIES", ())]
    return {entry.id: entry for entry in found}


def each_told(ids: Iterable[str], records: Records) -> Iterator[Sentence]:
    """The sentences that the records prove, in the order of the ids, then of their rows. KeyError for an unknown id."""
    for id in ids:
        yield from entries()[id].told(records)


def tell(ids: Iterable[str], records: Records) -> Sentence:
    """The sentences one behind the other."""
    spoken: list[str | Cell] = []
    for sentence in each_told(ids, records):
        spoken += [*([" "] if spoken else []), *sentence]
    return tuple(spoken)


def is_told(ids: Iterable[str], records: Records) -> bool:
    """Whether any of them is true."""
    return any(True for _ in each_told(ids, records))


def text(sentence: Sentence, currency: str) -> str:
    """The sentence as plain text."""
    return "".join(part if isinstance(part, str) else part.spoken(currency) for part in sentence)


def lines(ids: Iterable[str], records: Records, currency: str) -> list[str]:
    """The sentences as lines of plain text."""
    return [text(sentence, currency) for sentence in each_told(ids, records)]
