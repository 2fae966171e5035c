"""On which line of a TOML text each setting stands; tomllib does not say.

The text is valid TOML 1.0 (tomllib has read it), so that a scan over keys, tables and values suffices.
"""

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress
from itertools import accumulate

Place = tuple[str | int, ...]
# A deeper place has the line of the one around it.
_DEEPEST = 8

_GAP = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*+")
_KEY_PART = re.compile(r'[ \t]*("(?:\\.|[^"\\])*+"|\'[^\']*\'|[A-Za-z0-9_-]+)[ \t]*')
_TEXT = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?:"{0,2})' + r"|'''.*?'''(?:'{0,2})" + r'|"(?:\\.|[^"\\])*+"' + r"|'[^']*'", re.DOTALL
)
_PLAIN = re.compile(r"[^\n,\]}#]*")


def lines(text: str) -> dict[Place, int]:
    """Place -> line, counted from 1: of each table its header, of each setting its key, of each list entry its start.

    A table that has several headers has the first one's line. An array of tables has its first entry's.
    """
    scan = _Scan(text.replace("\r\n", "\n"))
    with suppress(RecursionError):  # lists in lists in lists; what stands before them is found
        scan.run()
    return scan.found


def line_of(found: dict[Place, int], place: Place) -> int | None:
    """The line of a place, or of the nearest place around it that has one."""
    return next((found[place[:n]] for n in range(len(place), 0, -1) if place[:n] in found), None)


class _Scan:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.starts = list(accumulate((len(line) for line in text.split("\n")), lambda at, n: at + n + 1, initial=0))
        self.found: dict[Place, int] = {}
        self.newest: dict[Place, int] = {}  # array of tables -> number of its newest entry

    def run(self) -> None:
        table: Place = ()
        while self._skip() < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._setting(table)

    def _skip(self) -> int:
        found = _GAP.match(self.text, self.at)
        self.at = found.end() if found else self.at
        return self.at

    def _note(self, place: Place, start: int) -> None:
        line = bisect_right(self.starts, start)
        for n in range(1, min(len(place), _DEEPEST) + 1):
            self.found.setdefault(place[:n], line)

    def _header(self) -> Place:
        start, is_array = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        keys = self._key()
        self.at += 2 if is_array else 1
        place = self._within(keys[:-1]) + keys[-1:]
        if is_array:
            self.newest[place] = self.newest.get(place, -1) + 1
            place = (*place, self.newest[place])
        elif place in self.newest:
            place = (*place, self.newest[place])
        self._note(place, start)
        return place

    def _within(self, keys: tuple[str, ...]) -> Place:
        """Keys that name an array of tables mean its newest entry."""
        place: Place = ()
        for key in keys:
            place = (*place, key)
            place = (*place, self.newest[place]) if place in self.newest else place
        return place

    def _key(self) -> tuple[str, ...]:
        parts = []
        while found := _KEY_PART.match(self.text, self.at):
            self.at = found.end()
            parts.append(tomllib.loads(f"key = {found[1]}")["key"] if found[1][0] in "\"'" else found[1])
            if not self.text.startswith(".", self.at):
                break
            self.at += 1
        return tuple(parts)

    def _setting(self, table: Place) -> None:
        start = self.at
        place = (*table, *self._key())
        self.at += 1  # the equals sign
        self._note(place, start)
        self._skip()
        self._value(place)

    def _value(self, place: Place) -> None:
        self._note(place, self.at)
        if self.text.startswith(("[", "{"), self.at):
            self._entries(place, {"[": "]", "{": "}"}[self.text[self.at]])
        elif found := _TEXT.match(self.text, self.at) or _PLAIN.match(self.text, self.at):
            self.at = found.end()

    def _entries(self, place: Place, closing: str) -> None:
        self.at += 1
        count = 0
        while self._skip() < len(self.text) and self.text[self.at] != closing:
            if closing == "]":
                self._value((*place, count))
                count += 1
            else:
                self._setting(place)
            self._skip()
            self.at += self.text.startswith(",", self.at)
        self.at += 1
