"""JSON (a list of objects, or an object that holds one) and JSON Lines. Numbers keep their figures as written."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from pipelines.reading.encodings import undecodable
from pipelines.reading.finding import Content
from pipelines.reading.tables import SAMPLE_ROWS, Kept, Row, cell_text, native_number, sample, source_error, write_rows
from pipelines.settings import Source
from pipelines.warehouse import Connection

# A whole JSON file is held in memory; JSON Lines of any size is not.
MOST_JSON_BYTES = 200_000_000
LONGEST_LINE = 1 << 26


class Figures(str):
    """A number as it was written."""

    __slots__ = ()


@dataclass(frozen=True)
class JsonRecords:
    """An opened file of objects. `headers` are the keys of its first objects, and those the column map names."""

    path: Path
    content: Content
    is_lines: bool
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        write_rows(self._told(kept), kept, target)

    def _told(self, kept: Sequence[Kept]) -> Iterator[Row]:
        for line, record, fault in _records(self.path, self.content, self.is_lines):
            yield _row(line, record, fault, self.headers, kept)


def open_json(path: Path, content: Content, source: Source) -> JsonRecords:
    """Look at the first records for their keys. Raises SourceFileError for a file of no objects at all."""
    is_lines = source.format == "jsonl"
    first = list(islice(_records(path, content, is_lines), SAMPLE_ROWS))
    found = [record for _, record, _ in first if record is not None]
    if first and not found:
        raise source_error(content.name, f"holds no JSON object: {first[0][2]}", "check `format` in dunnage.toml")
    mapped = [said.column for said in source.columns.values() if said.column]
    seen = dict.fromkeys(key for record in found for key in record)
    # A key that no record of this file has is unknown in each: claims without any payment yet have no such key.
    headers = tuple(dict.fromkeys([*seen, *mapped]) if seen.keys() & set(mapped) or not found else seen)
    rows = (Row([_text(record.get(header), None) for header in headers]) for record in found)
    return JsonRecords(path, content, is_lines, headers, sample(rows, len(headers)))


def _row(
    line: int, record: dict[str, Any] | None, fault: str | None, headers: Sequence[str], kept: Sequence[Kept]
) -> Row:
    if record is None:
        return Row((), line, fault)
    cells: list[str | None] = [None] * len(headers)
    for column in kept:
        value = record.get(column.header)
        if isinstance(value, dict | list):
            cells[column.place] = "(list or object)"
            return Row(cells, line, "holds a list or an object where one value belongs", column.header)
        cells[column.place] = _text(value, column.decimal)
    return Row(cells, line)


def _text(value: object, decimal: str | None) -> str:
    return native_number(value, decimal) if isinstance(value, Figures) else cell_text(value)


def _records(path: Path, content: Content, is_lines: bool) -> Iterator[tuple[int, dict[str, Any] | None, str | None]]:
    try:
        yield from _of_lines(path) if is_lines else _of_whole(path, content)
    except UnicodeDecodeError:
        raise undecodable(path, content.name, "utf-8") from None


def _of_lines(path: Path) -> Iterator[tuple[int, dict[str, Any] | None, str | None]]:
    with path.open(encoding="utf-8-sig", newline="\n") as text:
        line = 0
        while written := text.readline(LONGEST_LINE):
            line += 1
            if written.strip():
                yield line, *_parsed(written)


def _parsed(written: str) -> tuple[dict[str, Any] | None, str | None]:
    try:
        found = _loaded(written)
    except (ValueError, RecursionError) as wrong:
        return None, f"is no JSON object: {_said(wrong)}"
    return (found, None) if isinstance(found, dict) else (None, "is JSON, but no object")


def _of_whole(path: Path, content: Content) -> Iterator[tuple[int, dict[str, Any] | None, str | None]]:
    if content.byte_count > MOST_JSON_BYTES:
        raise source_error(content.name, f"is JSON of more than {MOST_JSON_BYTES:,} bytes", "export it as JSON Lines")
    try:
        whole = _loaded(path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError:
        raise
    except (ValueError, RecursionError) as wrong:
        raise source_error(content.name, f"is no JSON: {_said(wrong)}") from None
    for number, record in enumerate(_listed(whole, content), 1):
        yield (number, record, None) if isinstance(record, dict) else (number, None, "is no JSON object")


def _listed(whole: object, content: Content) -> list[Any]:
    if isinstance(whole, dict):
        lists = [value for value in whole.values() if isinstance(value, list)]
        whole = lists[0] if len(lists) == 1 else whole
    if not isinstance(whole, list):
        raise source_error(content.name, "is JSON, but neither a list of objects nor an object with one list")
    return whole


def _loaded(text: str) -> Any:
    return json.loads(
        text, parse_float=Figures, parse_int=Figures, parse_constant=_no_constant, object_pairs_hook=_once
    )


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("it names a key twice")
    return found


def _said(wrong: Exception) -> str:
    return "it is nested too deeply" if isinstance(wrong, RecursionError) else str(wrong)
