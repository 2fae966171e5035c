"""Reads typed values off a parsed TOML file; what is wrong becomes a finding with file and line, not an exception."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from models.tariffs.rules import MILLI, MILLIONTHS_OF_PERCENT

_HEADER = re.compile(r"^\s*\[(\[)?([A-Za-z_]+)\]\]?\s*(#.*)?$")
_KEY = re.compile(r"^([A-Za-z_]+)\s*=")
Place = tuple[str, int]
Found = TypeVar("Found")


@dataclass(frozen=True)
class Finding:
    """Something to correct (`stop`) or to know (`warn`) in a tariff file. Line 0 means the whole file."""

    file: str
    line: int
    level: str
    what: str
    next_step: str


def key_lines(text: str) -> dict[Place, dict[str, int]]:
    """The line of each key, by section and its number: ("surcharges", 2) -> {"when": 31}. "" is a section's header."""
    found: dict[Place, dict[str, int]] = {("", 1): {"": 1}}
    counts: dict[str, int] = {}
    place: Place = ("", 1)
    for number, line in enumerate(text.splitlines(), 1):
        if header := _HEADER.match(line):
            counts[header[2]] = counts.get(header[2], 0) + 1
            place = (header[2], counts[header[2]])
            found[place] = {"": number}
        elif key := _KEY.match(line):
            found[place].setdefault(key[1], number)
    return found


@dataclass
class Notes:
    """The findings so far in one file."""

    file: str
    lines: Mapping[Place, Mapping[str, int]] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def add(self, line: int, what: str, next_step: str, level: str = "stop") -> None:
        """Note one finding."""
        self.findings.append(Finding(self.file, line, level, what, next_step))


@dataclass
class Section:
    """One table of the file. A reader returns its fallback where the value is missing or wrong, and notes it."""

    stated: Mapping[str, Any]
    place: Place
    notes: Notes
    read: set[str] = field(default_factory=set)
    # The key that holds this table where it is written on one line.
    within: str = ""

    def line(self, key: str = "") -> int:
        """Where the key, or else the section, stands."""
        lines = self.notes.lines.get(self.place, {})
        return lines.get(key, lines.get(self.within, lines.get("", 0)))

    def wrong(self, key: str, what: str, next_step: str) -> None:
        """Note that a key cannot stand as it is."""
        self.notes.add(self.line(key), f"{key} {what}", next_step)

    def value(self, key: str, kinds: tuple[type, ...], words: str, *, needed: bool) -> Any:
        """The value where it is of one of the kinds, else None."""
        self.read.add(key)
        found = self.stated.get(key)
        if found is None:
            if needed:
                self.wrong(key, "is missing", f"state {key} as {words}")
            return None
        if not isinstance(found, kinds) or (isinstance(found, bool) and bool not in kinds):
            self.wrong(key, f"= {found} is not {words}", f"state {key} as {words}")
            return None
        return found

    def text(self, key: str, among: Sequence[str] = (), *, needed: bool = True) -> str:
        """A non-empty line of text, of a closed list where one is given."""
        found = self.value(key, (str,), "text", needed=needed)
        if found and among and found not in among:
            self.wrong(key, f"= {found} is not known", f"use one of {', '.join(among)}")
        elif found == "" and needed:
            self.wrong(key, "is empty", f"state {key}")
        return found or ""

    def optional_text(self, key: str) -> str | None:
        """A line of text or None."""
        return self.text(key, needed=False) or None

    def day(self, key: str, *, needed: bool = False) -> date | None:
        """A calendar day or None."""
        found = self.value(key, (date,), "a day such as 2026-01-12", needed=needed)
        return found.date() if isinstance(found, datetime) else found

    def flag(self, key: str) -> bool:
        """true or false; false where missing."""
        return bool(self.value(key, (bool,), "true or false", needed=False))

    def whole(self, key: str, *, needed: bool = False, least: int = 0) -> int | None:
        """A whole number of at least `least`, or None."""
        found = self.value(key, (int,), "a whole number", needed=needed)
        if found is not None and found < least:
            self.wrong(key, f"= {found} is less than {least}", "state a greater number")
        return None if found is None else int(found)

    def number(self, key: str, fallback: str | None = None, *, above_zero: bool = False) -> Decimal:
        """A number, not negative. Without fallback it is needed."""
        found = self.value(key, (int, Decimal), "a number", needed=fallback is None)
        if found is None:
            return Decimal(fallback or 1)
        if found < 0 or (above_zero and found == 0):
            self.wrong(key, f"= {found} is too small", "state a number above zero")
            return Decimal(1)
        return Decimal(found)

    def milli(self, key: str, fallback: str | None = None, *, above_zero: bool = False) -> int:
        """A number as thousandths."""
        return self.scaled(key, self.number(key, fallback, above_zero=above_zero), MILLI, "three")

    def share(self, key: str) -> int:
        """A percentage as millionths of one."""
        return self.scaled(key, self.number(key), MILLIONTHS_OF_PERCENT, "four")

    def scaled(self, key: str, number: Decimal, scale: int, places: str) -> int:
        """The number times the scale, which must be whole."""
        if number * scale % 1:
            self.wrong(key, f"= {number} has too many decimal places", f"state at most {places}")
        return int(number * scale)

    def texts(self, key: str, *, needed: bool = False) -> tuple[str, ...] | None:
        """A list of text, or None where missing."""
        found = self.value(key, (list,), "a list of text", needed=needed)
        if found is not None and not (found and all(isinstance(each, str) for each in found)):
            self.wrong(key, "is no list of text", f'write {key} = ["...", "..."]')
            return None
        return None if found is None else tuple(found)

    def scope(self) -> dict[str, Any]:
        """In which services and zones a row holds, and where it stands in the file."""
        return {"services": self.texts("services"), "zones": self.texts("zones"), "line": self.line()}

    def if_stated(self, key: str, read: Callable[[str], Found]) -> Found | None:
        """What one of the readers above makes of a key that may be left out; None where it is."""
        self.read.add(key)
        return read(key) if key in self.stated else None

    def within_line(self, key: str, read: Callable[[Section], Found], names: str) -> Found | None:
        """What `read` makes of a table that is written on one line, with these names in it; None without it."""
        stated = self.value(key, (dict,), f"a table of {names}", needed=False)
        return None if stated is None else Section(stated, self.place, self.notes, within=key).whole_of(read)

    def rows(self, key: str, read: Callable[[Section], Found | None]) -> tuple[Found, ...]:
        """What `read` makes of each section of an array of tables, such as [[services]]; None is left out."""
        self.read.add(key)
        stated = self.stated.get(key, [])
        if not isinstance(stated, list) or not all(isinstance(each, Mapping) for each in stated):
            self.wrong(key, "is no list of tables", f"write each as [[{key}]]")
            return ()
        sections = [Section(each, (key, number), self.notes) for number, each in enumerate(stated, 1)]
        return tuple(row for section in sections if (row := section.whole_of(read)) is not None)

    def whole_of(self, read: Callable[[Section], Found]) -> Found:
        """What `read` makes of the section. Keys that it passes over are noted: a misspelt rule must not be lost."""
        found = read(self)
        for key in self.stated:
            if key not in self.read:
                self.wrong(key, "is no rule of the tariff format", f"use one of {', '.join(sorted(self.read))}")
        return found
