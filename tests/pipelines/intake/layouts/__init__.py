"""Sixty layouts of exports as shops could get them: order lists, order lines, products, bench logs, invoices.

The headers are invented from trade terms in six languages (words of UN/CEFACT's and GS1's vocabularies: trade item,
consignment, net price, gross weight, chargeable weight, despatch), none recalled from a program. They were written
before the header words of models/columns were read. Half of the layouts, by a hash of their names, is held out: header
words are chosen on the other half only.

A layout's first line: [NAME] KIND DELIMITER DECIMAL DATES UNITS. Each further line: HEADER = COLUMN:UNIT, or
HEADER = - WHAT for a column that feeds nothing. A line `@ NAME` begins another file, joined by the key they share.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["LAYOUTS", "Header", "Layout", "is_held_out"]

_HERE = Path(__file__).parent
_DELIMITERS = {"tab": "\t"}


@dataclass(frozen=True)
class Header:
    """One header: the column that it is (None: it feeds nothing), its unit, and what its cells show."""

    text: str
    column: str | None
    unit: str | None
    shown: str


@dataclass
class Layout:
    """One export: one file, or several that belong together, by name."""

    name: str
    kind: str
    delimiter: str
    decimal: str
    dates: str
    files: dict[str, list[Header]] = field(default_factory=dict)

    @property
    def language(self) -> str:
        return self.name[:2]


def _header(line: str) -> Header:
    text, _, said = line.rpartition(" = ")
    if said.startswith("- "):
        return Header(text, None, None, said[2:])
    shown, _, unit = said.partition(":")
    return Header(text, shown.removesuffix("_order").removesuffix("_first"), unit or None, shown)


def _layout(head: str) -> Layout:
    name, said = head[1:].split("]")
    kind, delimiter, decimal, *dates = said.split()
    moment = " ".join(each for each in dates if each not in ("in", "lb", "cm", "mm", "kg", "g"))
    return Layout(name, kind, _DELIMITERS.get(delimiter, delimiter), decimal, moment)


def _read(path: Path) -> list[Layout]:
    found: list[Layout] = []
    part = ""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            found.append(_layout(line))
            part = ""
        elif line.startswith("@ "):
            part = line[2:]
        elif line.strip():
            found[-1].files.setdefault(part, []).append(_header(line))
    return found


LAYOUTS = tuple(layout for path in sorted(_HERE.glob("*.txt")) for layout in _read(path))
_BY_HASH = sorted(LAYOUTS, key=lambda layout: hashlib.sha256(layout.name.encode()).hexdigest())
_HELD_OUT = frozenset(layout.name for layout in _BY_HASH[: len(LAYOUTS) // 2])


def is_held_out(layout: Layout) -> bool:
    """Whether the layout judges the header words and may not be used to choose them."""
    return layout.name in _HELD_OUT
