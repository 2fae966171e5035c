"""Rows of a plain file that the engine must not judge, found by the bytes that their lines begin with.

They are empty rows, totals, and the header again. What is found may be less than that; what is not found is none.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from pipelines.reading.marks import Marks
from pipelines.reading.shape import TOTALS

_LF = 10
_BEGIN = 3
Bytes = npt.NDArray[np.uint8]


@dataclass(frozen=True)
class Suspects:
    """The search for one file: its marks, and its headers as they stand."""

    marks: Marks
    headers: Sequence[str]

    def are_in(self, block: bytes) -> bool:
        """Whether any may be among these whole lines."""
        return self._may_begin(block) and self._pattern.search(block) is not None

    def _may_begin(self, block: bytes) -> bool:
        """Whether any line begins so; looked at for all lines at once, since hardly any does."""
        text = np.frombuffer(block + bytes(_BEGIN + 1), np.uint8)
        starts = np.concatenate(([0], np.flatnonzero(text[: len(block)] == _LF) + 1))
        starts = starts[starts < len(block)]
        if self.marks.quote:
            starts = starts + (text[starts] == ord(self.marks.quote))
        return any(_is_any(text, starts, begin) for begin in self._begins)

    @cached_property
    def _begins(self) -> frozenset[bytes]:
        """What such lines begin with, small letters for either case. An empty cell begins with a mark."""
        words = (word.encode()[:_BEGIN].lower() for word in (*TOTALS, *self.headers[:1]))
        marks = (" ", self.marks.delimiter, self.marks.quote)
        return frozenset(filter(None, (*words, *(mark.encode() for mark in marks))))

    @cached_property
    def _pattern(self) -> re.Pattern[bytes]:
        delimiter, quote = re.escape(self.marks.delimiter), re.escape(self.marks.quote)
        ends, blanks = "(?:[\r\n]|\\Z)", f"[ {quote}]*"
        totals = f"[ {quote}{delimiter}]*(?i:{'|'.join(TOTALS)}) *(?:[:({quote}{delimiter}\r\n]|\\Z)"
        empty = f"[ {quote}{delimiter}]+{ends}"
        doubled = (re.escape(name.strip(" ").replace(self.marks.quote, self.marks.quote * 2)) for name in self.headers)
        again = f"{blanks}{f'{blanks}{delimiter}{blanks}'.join(doubled)}{blanks}{ends}"
        return re.compile(f"(?:\\A|\n)(?:{totals}|{empty}|{again})".encode())


def _is_any(text: Bytes, starts: npt.NDArray[np.int64], begin: bytes) -> bool:
    """Whether any line begins so, letters in either case."""
    for at, byte in enumerate(begin):
        starts = starts[(text[starts + at] | 32) == byte | 32]
    return len(starts) > 0
