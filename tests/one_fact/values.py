"""Written values as read back, by other means than they were written with: a number, and how far it may be off."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import Any

from models import columns
from models.fields import Quantity

MEASURES = (Quantity.LENGTH, Quantity.WEIGHT, Quantity.NUMBER, Quantity.MINUTES)
WORDS = (Quantity.TEXT, Quantity.FLAG)
# What stands where no number does: nothing is known, there can be none, or a share of too few parcels.
NOTHING, UNTOLD = ("not known", "n/a"), "too few"


@dataclass(frozen=True)
class Value:
    """A number with half a unit of its last place, a text, or a day; None where it is stated that none is known.

    is_bare: without its sign, as in "lost $142".
    """

    read: float | str | None
    slack: float = 0.0
    is_bare: bool = False

    def agrees(self, other: Value) -> bool:
        """Whether both may be the same value as their surfaces write it."""
        if isinstance(self.read, int | float) and isinstance(other.read, int | float):
            off = (
                abs(abs(self.read) - abs(other.read)) if self.is_bare or other.is_bare else abs(self.read - other.read)
            )
            return off <= self.slack + other.slack + 1e-7
        if isinstance(self.read, str) and isinstance(other.read, str):
            shorter, longer = sorted((self.read.removesuffix("…"), other.read.removesuffix("…")), key=len)
            return longer == shorter or (longer.startswith(shorter) and _is_coarser(self.read, other.read))
        return self.read is other.read


def _is_coarser(one: str, other: str) -> bool:
    """Whether one of them is a month and the other a day of it, or a text that was cut."""
    return {len(one), len(other)} == {7, 10} or one.endswith("…") or other.endswith("…")


def number(text: str) -> Value:
    """A number as a reader reads it: $1,234.50, -3, 51 3/16, 4.5%, 4 of 18. ValueError where there is none."""
    if among := re.fullmatch(r"([\d,]+) of ([\d,]+)", text):
        few, of = (float(each.replace(",", "")) for each in among.groups())
        return Value(few / of, 1e-9)
    bare = re.sub(r"[^0-9.\-−/ ]", "", text).replace("−", "-").strip()
    if sixteenths := re.fullmatch(r"(-?)(\d+ )?(\d+)/(\d+)", bare):
        sign, whole, over, under = sixteenths.groups()
        return Value((-1 if sign else 1) * (float(whole or 0) + int(over) / int(under)), 1 / 32)
    places = len(bare.partition(".")[2])
    # Less than all is never written as all: 99.9% may be anything up to it.
    found = Value(float(bare), (1 if text in ("99%", "99.9%") else 0.5) * 10**-places)
    return Value(found.read / 100, found.slack / 100) if text.endswith("%") and isinstance(found.read, float) else found


def written(text: str, column: str) -> Value | None:
    """A cell's text as page and terminal write it; None where it says nothing that could be compared."""
    kind = columns.quantity(column)
    if kind in WORDS:
        return Value(None) if text in NOTHING else Value(" ".join(text.split()))
    if not text or text == UNTOLD:
        return None
    if text in NOTHING:
        return Value(None)
    if kind in (Quantity.DATE, Quantity.INSTANT):
        return Value(day(text.removesuffix(", overdue")))
    found = Value(0.0) if text == "–" else number(text)
    if kind is Quantity.MONEY and isinstance(found.read, float):
        is_whole = "." not in text and text != "–"
        return Value(100 * found.read, 50.0 if is_whole else 0.0, is_bare=is_whole and found.read > 0)
    return found if kind in MEASURES or kind is Quantity.FRACTION else Value(found.read)


def day(text: str) -> str:
    """A day or month as ISO 8601 writes it. ValueError where it is neither."""
    for form, length in (("%d %b %Y", 10), ("%B %Y", 7), ("%d %b %Y %H:%M", 10)):
        try:
            return dt.datetime.strptime(text, form).isoformat()[:length]
        except ValueError:
            continue
    raise ValueError(text)


def typed(cell: Any, column: str, *, is_major: bool = False) -> Value:
    """A cell that is a number, a day or a text. is_major: amounts are in the major unit (of two decimals)."""
    kind = columns.quantity(column)
    if cell is None or cell != cell:
        return Value(None)
    if isinstance(cell, bool):
        return Value("yes" if cell else "no")
    if isinstance(cell, int | float):
        whole = kind is Quantity.MONEY and is_major
        return Value(round(100.0 * cell, 6) if whole else float(cell), 0.0005 if kind in MEASURES else 0.0)
    if hasattr(cell, "isoformat"):
        return Value(cell.isoformat()[:10])
    is_day = kind in (Quantity.DATE, Quantity.INSTANT)
    return Value(str(cell)[:10] if is_day else " ".join(str(cell).split()))
