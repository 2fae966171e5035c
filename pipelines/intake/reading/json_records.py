"""JSON (a list of objects, or an object that holds one) and JSON Lines, one record after another.

Whole numbers keep their figures as written; others are written as in every format of typed values.

A record with bytes that are no text is rejected alone: quotes are ASCII, so where a text ends is known whatever is in
it. A list with such a byte between its texts is refused, since what follows cannot be told.
Source: RFC 8259, sections 7 and 8.1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from models.settings.reading_limits import Limits
from pipelines.intake.reading.cell_texts import cell_text, figures_text
from pipelines.intake.reading.encodings import refuse_unproven_letters
from pipelines.intake.reading.json_stream import DECODER, Figures, Stream
from pipelines.intake.reading.lines import has_bytes, no_text, with_numbers
from pipelines.intake.reading.tables import SAMPLE_ROWS, WHOLE_ROW, Kept, Row, sample, source_error, write_rows

if TYPE_CHECKING:
    from pipelines.shop.warehouse import Connection

Record = tuple[int, dict[str, Any] | None, str | None]


@dataclass(frozen=True)
class JsonText:
    """The file in UTF-8, with the name that its user knows. is_stated: the user stated its encoding.

    Where nobody did, a file with bytes that are no text is refused, unless its other letters prove that it is UTF-8.
    """

    path: Path
    name: str
    limits: Limits
    is_lines: bool
    is_stated: bool

    def records(self) -> Iterator[Record]:
        """Each with its line, or its number where they are one list; those not understood with the reason."""
        with self.path.open(encoding="utf-8-sig", errors="surrogateescape", newline="\n") as text:
            longest = self.limits.longest_line
            yield from _of_lines(text, longest) if self.is_lines else _of_whole(Stream(text, longest))


@dataclass(frozen=True)
class JsonRecords:
    """An opened file of objects. `headers` are the keys of its first objects, and those the column map names."""

    text: JsonText
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        write_rows(self._reported(kept), kept, target, self.text.limits)

    def _reported(self, kept: Sequence[Kept]) -> Iterator[Row]:
        for line, record, fault in self.text.records():
            yield _row(line, record, fault, len(self.headers), kept)


def open_json(text: JsonText, mapped: Sequence[str]) -> JsonRecords:
    """Look at the first records for their keys. mapped: the keys that the column map names.

    Raises SourceFileError for a file of no objects at all.
    """
    if not text.is_stated:
        refuse_unproven_letters(text.path, text.name)
    first = list(islice(text.records(), SAMPLE_ROWS))
    found = [record for _, record, fault in first if record is not None and fault is None]
    if first and not found:
        raise source_error(text.name, f"holds no JSON object: {first[0][2]}", "check `format` in dunnage.toml")
    seen = dict.fromkeys(key for record in found for key in record)
    if found and not seen:
        raise source_error(text.name, f"holds nothing but empty objects, {len(found):,} or more")
    # A key that no record of this file has is unknown in each: claims without any payment yet have no such key.
    headers = tuple(dict.fromkeys([*seen, *mapped]) if seen.keys() & set(mapped) or not found else seen)
    rows = (Row([_text(record.get(header), None) for header in headers]) for record in found)
    return JsonRecords(text, headers, sample(rows, len(headers)))


def _row(line: int, record: dict[str, Any] | None, fault: str | None, width: int, kept: Sequence[Kept]) -> Row:
    if record is None:
        return Row((), line, fault)
    cells: list[str | None] = [None] * width
    for column in kept:
        value = record.get(column.header)
        if isinstance(value, dict | list):
            cells[column.place] = "(list or object)"
            nested = "holds a list or an object where one value belongs"
            return Row(cells, line, fault or nested, WHOLE_ROW if fault else column.header)
        cells[column.place] = with_numbers(_text(value, column.decimal)) if fault else _text(value, column.decimal)
    return Row(cells, line, fault)


def _text(value: object, decimal: str | None) -> str:
    return figures_text(value, decimal) if isinstance(value, Figures) else cell_text(value, decimal)


def _of_lines(text: TextIO, longest: int) -> Iterator[Record]:
    line = 0
    while written := text.readline(longest + 1):
        line += 1
        if written.strip():
            record, fault = _parsed(written)
            yield line, record, no_text(written) if has_bytes(written) else fault


def _parsed(written: str) -> tuple[dict[str, Any] | None, str | None]:
    try:
        found = DECODER.decode(written)
    except (ValueError, RecursionError) as wrong:
        return None, f"is no JSON object: {_said(wrong)}"
    return (found, None) if isinstance(found, dict) else (None, "is JSON, but no object")


def _of_whole(stream: Stream) -> Iterator[Record]:
    for number, record in enumerate(stream.records(), 1):
        fault = no_text(stream.unclear) if stream.unclear else None
        yield (number, record, fault) if isinstance(record, dict) else (number, None, fault or "is no JSON object")


def _said(wrong: Exception) -> str:
    return "it is nested too deeply" if isinstance(wrong, RecursionError) else str(wrong)
