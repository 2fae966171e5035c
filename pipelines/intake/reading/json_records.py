"""JSON (a list of objects, or an object that holds one) and JSON Lines, one record after another.

Whole numbers keep their figures as written; others are written as in every format of typed values.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from models.settings.reading_limits import Limits
from pipelines.intake.reading.cell_texts import cell_text, figures_text
from pipelines.intake.reading.encodings import undecodable
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.json_stream import DECODER, Figures, Stream
from pipelines.intake.reading.tables import SAMPLE_ROWS, Kept, Row, sample, source_error, write_rows

if TYPE_CHECKING:
    from pipelines.shop.warehouse import Connection

Record = tuple[int, dict[str, Any] | None, str | None]


@dataclass(frozen=True)
class JsonRecords:
    """An opened file of objects. `headers` are the keys of its first objects, and those the column map names."""

    path: Path
    content: Content
    is_lines: bool
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    limits: Limits

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        write_rows(self._reported(kept), kept, target, self.limits)

    def _reported(self, kept: Sequence[Kept]) -> Iterator[Row]:
        for line, record, fault in _records(self.path, self.content, self.limits, is_lines=self.is_lines):
            yield _row(line, record, fault, len(self.headers), kept)


def open_json(path: Path, content: Content, mapped: Sequence[str], limits: Limits, *, is_lines: bool) -> JsonRecords:
    """Look at the first records for their keys. mapped: the keys that the column map names.

    Raises SourceFileError for a file of no objects at all.
    """
    first = list(islice(_records(path, content, limits, is_lines=is_lines), SAMPLE_ROWS))
    found = [record for _, record, _ in first if record is not None]
    if first and not found:
        raise source_error(content.name, f"holds no JSON object: {first[0][2]}", "check `format` in dunnage.toml")
    seen = dict.fromkeys(key for record in found for key in record)
    if found and not seen:
        raise source_error(content.name, f"holds nothing but empty objects, {len(found):,} or more")
    # A key that no record of this file has is unknown in each: claims without any payment yet have no such key.
    headers = tuple(dict.fromkeys([*seen, *mapped]) if seen.keys() & set(mapped) or not found else seen)
    rows = (Row([_text(record.get(header), None) for header in headers]) for record in found)
    return JsonRecords(path, content, is_lines, headers, sample(rows, len(headers)), limits)


def _row(line: int, record: dict[str, Any] | None, fault: str | None, width: int, kept: Sequence[Kept]) -> Row:
    if record is None:
        return Row((), line, fault)
    cells: list[str | None] = [None] * width
    for column in kept:
        value = record.get(column.header)
        if isinstance(value, dict | list):
            cells[column.place] = "(list or object)"
            return Row(cells, line, "holds a list or an object where one value belongs", column.header)
        cells[column.place] = _text(value, column.decimal)
    return Row(cells, line)


def _text(value: object, decimal: str | None) -> str:
    return figures_text(value, decimal) if isinstance(value, Figures) else cell_text(value, decimal)


def _records(path: Path, content: Content, limits: Limits, *, is_lines: bool) -> Iterator[Record]:
    try:
        with path.open(encoding="utf-8-sig", newline="\n") as text:
            if is_lines:
                yield from _of_lines(text, limits.longest_line)
            else:
                yield from _of_whole(Stream(text, limits.longest_line))
    except UnicodeDecodeError:
        raise undecodable(path, content.name, "utf-8") from None


def _of_lines(text: TextIO, longest: int) -> Iterator[Record]:
    line = 0
    while written := text.readline(longest + 1):
        line += 1
        if written.strip():
            yield line, *_parsed(written)


def _parsed(written: str) -> tuple[dict[str, Any] | None, str | None]:
    try:
        found = DECODER.decode(written)
    except (ValueError, RecursionError) as wrong:
        return None, f"is no JSON object: {_said(wrong)}"
    return (found, None) if isinstance(found, dict) else (None, "is JSON, but no object")


def _of_whole(stream: Stream) -> Iterator[Record]:
    for number, record in enumerate(stream.records(), 1):
        yield (number, record, None) if isinstance(record, dict) else (number, None, "is no JSON object")


def _said(wrong: Exception) -> str:
    return "it is nested too deeply" if isinstance(wrong, RecursionError) else str(wrong)
