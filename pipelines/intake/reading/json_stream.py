"""A JSON file of records, decoded value by value, so that memory does not grow with the file."""

import json
from collections.abc import Iterator
from typing import Any, TextIO

from pipelines.intake.reading.lines import has_bytes
from pipelines.intake.reading.tables import ShapeError

_CHUNK = 1 << 20
_BLANKS = " \t\n\r"
_NEITHER = "is JSON, but neither a list of objects nor an object with one list"


class Figures(str):
    """A number as it was written."""

    __slots__ = ()


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("it names a key twice")
    return found


DECODER = json.JSONDecoder(parse_float=Figures, parse_int=Figures, parse_constant=_no_constant, object_pairs_hook=_once)


class Stream:
    """Text that is decoded as it is read. longest: characters of one value.

    unclear: the value read last as it is written, where it holds bytes that are no text; else empty.
    """

    def __init__(self, text: TextIO, longest: int) -> None:
        self._text, self._longest = text, longest
        self._buffer, self._at, self._passed, self._is_ended = "", 0, 0, False
        self.unclear = ""

    def records(self) -> Iterator[Any]:
        """The members of the list that the file is, or of the only list in the object that it is."""
        first = self._mark()
        if first == "[":
            yield from self._members()
        elif first == "{":
            yield from self._only_list()
        else:
            self._value()
            raise ShapeError(_NEITHER)
        if self._mark():
            raise ShapeError(f"is no JSON: text after its end, at character {self._place():,}")

    def _members(self) -> Iterator[Any]:
        self._at += 1
        if self._mark() == "]":
            self._at += 1
            return
        while True:
            yield self._value()
            if self._expect(",]") == "]":
                return

    def _only_list(self) -> Iterator[Any]:
        """Records of the first list; a second one, or none, is an error."""
        self._at += 1
        lists = 0
        is_open = self._mark() != "}"
        while is_open:
            if not isinstance(self._value(), str):
                raise ShapeError(f"is no JSON: a key is no text, at character {self._place():,}")
            self._expect(":")
            if self._mark() == "[":
                lists += 1
                if lists > 1:
                    raise ShapeError(_NEITHER)
                yield from self._members()
            else:
                self._value()
            is_open = self._expect(",}") == ","
        if not lists:
            raise ShapeError(_NEITHER)

    def _expect(self, marks: str) -> str:
        mark = self._mark()
        if not mark or mark not in marks:
            raise ShapeError(f"is no JSON: {' or '.join(marks)} is missing at character {self._place():,}")
        self._at += 1
        return mark

    def _mark(self) -> str:
        """The next character that is not blank; nothing at the end."""
        while True:
            while self._at < len(self._buffer):
                mark = self._buffer[self._at]
                if mark not in _BLANKS:
                    return mark
                self._at += 1
            if not self._more():
                return ""

    def _value(self) -> Any:
        self._mark()
        while True:
            try:
                value, end = DECODER.raw_decode(self._buffer, self._at)
            except json.JSONDecodeError as wrong:
                # The value may only be cut off by the end of what was read.
                if not self._more():
                    said = f"{wrong.msg} at character {self._passed + wrong.pos:,}"
                    raise ShapeError(f"is no JSON: {said}") from None
                continue
            except RecursionError:
                raise ShapeError("is no JSON: it is nested too deeply") from None
            except ValueError as wrong:
                raise ShapeError(f"is no JSON: {wrong} (in the value at character {self._place():,})") from None
            # Of a number that ends where the text read so far ends, there may be more.
            if end < len(self._buffer) or not self._more():
                written = self._buffer[self._at : end]
                self.unclear = written if has_bytes(written) else ""
                self._at = end
                return value

    def _more(self) -> bool:
        """Read as much again as there is undecoded; whether there was any."""
        rest = self._buffer[self._at :]
        if len(rest) > self._longest:
            raise ShapeError(f"holds a value of more than {self._longest:,} characters")
        found = "" if self._is_ended else self._text.read(max(_CHUNK, len(rest)))
        self._is_ended = not found
        self._passed += self._at
        self._buffer, self._at = rest + found, 0
        return bool(found)

    def _place(self) -> int:
        return self._passed + self._at + 1
