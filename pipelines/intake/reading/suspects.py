"""Rows of a plain file that the engine must not judge, found by the bytes that their lines begin with.

They are empty rows, totals, and the header again. What is found may be less than that; what is not found is none.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from pipelines.intake.reading.line_cells import Marks
from pipelines.intake.reading.shape import TOTALS

_LF = 10
_BEGIN = 3
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Suspects:
    """The search for one file: its marks, and its headers as they stand."""

    marks: Marks
    headers: Sequence[str]

    def are_in(self, block: bytes) -> bool:
        """Whether any may be among these whole lines."""
        return bool(block) and self._may_begin(block) and self._pattern.search(block) is not None

    def _may_begin(self, block: bytes) -> bool:
        """Whether any line may begin so; looked at for all lines at once, since hardly any does."""
        text = np.frombuffer(block, np.uint8)
        starts = np.concatenate(([0], np.flatnonzero(text[:-1] == _LF) + 1))
        if self.marks.quote:
            starts = starts + (text[starts] == ord(self.marks.quote))
        for at, (ends, goes_on) in enumerate(self._begins):
            # Beyond the block's end nothing begins; its last byte in that place proves no more than the pattern does.
            found = text.take(starts + at, mode="clip")
            if ends[found].any():
                return True
            starts = starts[goes_on[found]]
        return False

    @cached_property
    def _begins(self) -> tuple[tuple[Flags, Flags], ...]:
        """What such lines begin with: for each place the bytes with which one ends there, and those with which one goes
        on, letters in either case. An empty cell begins with a mark."""
        words = (word.encode()[:_BEGIN] for word in (*TOTALS, *self.headers[:1]))
        marks = (mark.encode() for mark in (" ", self.marks.delimiter, self.marks.quote))
        begins = [*filter(None, (*words, *marks))]
        return tuple(
            (
                _either_case(begin[at] for begin in begins if len(begin) == at + 1),
                _either_case(begin[at] for begin in begins if len(begin) > at + 1),
            )
            for at in range(_BEGIN)
        )

    @cached_property
    def _pattern(self) -> re.Pattern[bytes]:
        delimiter, quote = re.escape(self.marks.delimiter), re.escape(self.marks.quote)
        ends, blanks = "(?:[\r\n]|\\Z)", f"[ {quote}]*"
        totals = f"[ {quote}{delimiter}]*(?i:{'|'.join(TOTALS)}) *(?:[:({quote}{delimiter}\r\n]|\\Z)"
        empty = f"[ {quote}{delimiter}]+{ends}"
        doubled = (re.escape(name.strip(" ").replace(self.marks.quote, self.marks.quote * 2)) for name in self.headers)
        again = f"{blanks}{f'{blanks}{delimiter}{blanks}'.join(doubled)}{blanks}{ends}"
        return re.compile(f"(?:\\A|\n)(?:{totals}|{empty}|{again})".encode())


def _either_case(letters: Iterable[int]) -> Flags:
    """For each byte whether it is one of these, but for the bit in which small letters differ from capitals."""
    return np.isin(np.arange(256) | 32, [letter | 32 for letter in letters])
