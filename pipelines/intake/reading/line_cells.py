"""One line of text cut into cells by the marks of its file: delimiter, quote, escape.

A quoted cell ends at a quote that is followed by a delimiter or by the line's end. Where quotes say nothing certain the
line has a fault: no cell of it is known. What counts as certain beyond the standard is little: words in quotes within a
cell, and inch marks behind numbers in a column that has several.

Source: RFC 4180, section 2, for doubled quotes, quoted delimiters and quoted line breaks.
"""

import re
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

QUOTE = '"'
# Marks that open and close a whole cell where the file was written with other quotes than those stated.
FOREIGN = {"'": "'", "`": "`´", "´": "´", "‘": "’‘", "’": "’‘", "“": "”“", "”": "”“", "„": "“”", "«": "»", "»": "«"}
UNENDED, AFTER_QUOTE = "opens a quote that does not end", "has text after a closing quote"
STRAY = 'has a quote mark of unclear meaning; where quotes are text, state quote = ""'
_FOREIGN_QUOTES = "has a cell enclosed in {0} {1}; state the file's quote, or remove the marks"
_ANY_FOREIGN = re.compile(f"[{''.join(FOREIGN)}]")
# A number in front of the mark, which is not part of a code such as SKU-1234".
_INCHES = r"(?<![\w.,/-])(?:\d+[ -])?\d+(?:[.,/]\d+)?{quote}(?=$|[\s)x×,;:/.-])"
_WORDS = r"(?<![^\s(]){quote}[^\s{quote}](?:[^{quote}]*[^\s{quote}])?{quote}(?=$|[\s),.;:!?])"


class Cells(NamedTuple):
    """The cells of a line. `fault`: why they are not known. `is_repaired`: they are, beyond the standard."""

    cells: list[str]
    fault: str | None = None
    is_repaired: bool = False

    @property
    def is_open(self) -> bool:
        """Whether a quoted cell may end in a later line."""
        return self.fault == UNENDED


@dataclass(frozen=True)
class Marks:
    """How cells are set apart. `quote` is empty where quotes are text; `escape` is empty where quotes are doubled.

    `are_stated`: the user stated the quote, so that cells in other quotes are text. `inches`: places of the columns in
    which a quote behind a number is an inch mark. `enclosed`: places of the columns whose every cell other quotes
    enclose, so that these are taken off.
    """

    delimiter: str
    quote: str = QUOTE
    escape: str = ""
    are_stated: bool = False
    inches: frozenset[int] = frozenset()
    enclosed: frozenset[int] = frozenset()

    def split(self, text: str) -> Cells:
        """The cells of a line without its end, blanks before them left out."""
        if (self.quote and self.quote in text) or (self.escape and self.escape in text):
            found = self._quoted_split(text)
        else:
            found = Cells(self.plain(text))
        if not self.are_stated and _ANY_FOREIGN.search(text) and found.fault is None:
            return self._without_foreign(found)
        return found

    def plain(self, text: str) -> list[str]:
        """The pieces between delimiters, quotes counted as text."""
        pieces = text.split(self.delimiter)
        return [piece.lstrip(" ") for piece in pieces] if " " in text and self.delimiter != " " else pieces

    def _quoted_split(self, text: str) -> Cells:
        cells: list[str] = []
        bare: list[int] = []
        at, is_repaired, has_quoted = 0, False, False
        while True:
            found = self._cell.match(text, at)
            if found is None:
                loose = self._loose.match(text, at)
                if loose is None or not self._is_text(loose["text"], len(cells), at_end=True):
                    return Cells([], self._why(text, at))
                found, is_repaired = loose, True
                cells.append(loose["text"])
            elif (quoted := found["quoted"]) is not None:
                has_quoted = True
                cells.append(self._unescaped(quoted))
            else:
                bare += [len(cells)] if self.quote and self.quote in found["bare"] else []
                cells.append(self._unescaped_bare(found["bare"]))
            at = found.end() + len(self.delimiter)
            if found.end() >= len(text):
                break
        if not all(self._is_text(cells[place], place, at_end=not has_quoted) for place in bare):
            return Cells([], STRAY)
        return Cells(cells, None, is_repaired or bool(bare))

    def has_inches(self, piece: str) -> bool:
        """Whether a cell, as it stands, has a quote behind a number within it."""
        piece = piece.strip()
        is_quoted = len(piece) > 1 and piece.startswith(self.quote) and piece.endswith(self.quote)
        return self._inch_marks.search(piece[1:-1] if is_quoted else piece) is not None

    def _is_text(self, cell: str, place: int, *, at_end: bool) -> bool:
        """Whether each quote in a cell is an inch mark or encloses words of a longer text.

        at_end: whether the cell may end in a quote; in a line with quoted cells its opening quote may be missing.
        """
        rest = self._quoted_words.sub("", cell)
        rest = self._inch_marks.sub("", rest) if place in self.inches else rest
        return self.quote not in rest and (at_end or not cell.rstrip().endswith(self.quote))

    def _why(self, text: str, at: int) -> str:
        opened = self._opening.match(text, at)
        return UNENDED if opened is not None and opened.end() == len(text) else AFTER_QUOTE

    def _unescaped(self, quoted: str) -> str:
        if self.escape:
            return re.sub(f"{re.escape(self.escape)}([\\s\\S])", r"\1", quoted) if self.escape in quoted else quoted
        return quoted.replace(self.quote * 2, self.quote)

    def _unescaped_bare(self, bare: str) -> str:
        return self._unescaped(bare) if self.escape else bare

    def _without_foreign(self, found: Cells) -> Cells:
        cells = list(found.cells)
        for place, cell in enumerate(found.cells):
            if ends := self.foreign_ends(cell):
                inner = cell.strip()[1:-1]
                if place not in self.enclosed or any(mark in inner for mark in ends):
                    return Cells([], _FOREIGN_QUOTES.format(*ends))
                cells[place] = inner
        return found._replace(cells=cells)

    def foreign_ends(self, cell: str) -> str:
        """The first and last sign of a cell that quotes enclose which are not the stated ones; else nothing."""
        bare = cell.strip()
        is_enclosed = len(bare) > 1 and bare[0] != self.quote and bare[-1] in FOREIGN.get(bare[0], "")
        return bare[0] + bare[-1] if is_enclosed else ""

    @cached_property
    def _inner(self) -> str:
        quote, escape = re.escape(self.quote), re.escape(self.escape)
        if self.escape:
            return f"[^{quote}{escape}]*+(?:{escape}[\\s\\S][^{quote}{escape}]*+)*+"
        return f"[^{quote}]*+(?:{quote}{quote}[^{quote}]*+)*+"

    @cached_property
    def _blanks(self) -> str:
        return "" if self.delimiter.startswith(" ") else " *+"

    @cached_property
    def _ends(self) -> str:
        return f"{self._blanks}(?={re.escape(self.delimiter)}|\\Z)"

    @cached_property
    def _cell(self) -> re.Pattern[str]:
        """A quoted cell, or a bare one that does not begin with a quote."""
        delimiter, quote, escape = (re.escape(mark) for mark in (self.delimiter, self.quote, self.escape))
        escaped = f"{escape}[\\s\\S]|" if escape else ""
        bare = f"{self._blanks}(?!{quote})" if quote else self._blanks
        bare += f"(?P<bare>(?:{escaped}(?!{delimiter})[\\s\\S])*+)"
        if not quote:
            return re.compile(f"(?P<quoted>(?!))|{bare}")
        return re.compile(f"{self._blanks}{quote}(?P<quoted>{self._inner}){quote}{self._ends}|{bare}")

    @cached_property
    def _loose(self) -> re.Pattern[str]:
        """A quoted cell with quotes in it that are not doubled, up to the first quote where a cell may end."""
        if not self.quote or self.escape:
            return re.compile("(?!)")
        delimiter, quote = re.escape(self.delimiter), re.escape(self.quote)
        inner = f"(?P<text>(?:(?!{delimiter}|{quote}{quote}|{quote}{self._ends}).)++)"
        return re.compile(f"{self._blanks}{quote}{inner}{quote}{self._ends}")

    @cached_property
    def _opening(self) -> re.Pattern[str]:
        return re.compile(f"{self._blanks}{re.escape(self.quote)}{self._inner}")

    @cached_property
    def _quoted_words(self) -> re.Pattern[str]:
        return re.compile(_WORDS.format(quote=re.escape(self.quote)))

    @cached_property
    def _inch_marks(self) -> re.Pattern[str]:
        return re.compile(_INCHES.format(quote=re.escape(self.quote)))
