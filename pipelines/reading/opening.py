"""The right reader for a file: by the source's format, or as an export of rejected rows that comes back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pipelines.reading.delimited import open_delimited
from pipelines.reading.encodings import as_utf8
from pipelines.reading.finding import Content
from pipelines.reading.json_records import open_json
from pipelines.reading.parquet_files import open_parquet
from pipelines.reading.tables import REJECT_REF, Table
from pipelines.reading.workbooks import open_workbook
from pipelines.settings import Source
from pipelines.warehouse import Connection

_HEADER_BYTES = 1 << 16


def opened(connection: Connection, source: Source, content: Content, scratch: Path) -> Table:
    """The file with its headers and first rows. Raises SourceFileError."""
    encoding = _export_encoding(content.path, source)
    if encoding:
        exported = replace(source, format="csv", delimiter=export_delimiter(source), header=True)
        path = as_utf8(content.path, content.name, encoding, scratch)
        return open_delimited(path, content, exported, is_export=True)
    if source.format == "xlsx":
        return open_workbook(content.path, content, source)
    if source.format == "parquet":
        return open_parquet(connection, content.path, content, source)
    path = as_utf8(content.path, content.name, source.encoding, scratch)
    if source.format in ("json", "jsonl"):
        return open_json(path, content, source)
    return open_delimited(path, content, source)


def export_delimiter(source: Source) -> str:
    """The delimiter of exports of rejected rows: the source's own, so that the same spreadsheet opens them.

    A comma where that is longer than one character.
    """
    return source.delimiter if source.format == "csv" and len(source.delimiter) == 1 else ","


def _export_encoding(path: Path, source: Source) -> str | None:
    """The encoding of an export of rejected rows, known by its reference column; None for any other file.

    We write UTF-8; a spreadsheet may have saved it in the encoding that the source's own files have.
    """
    with path.open("rb") as file:
        if REJECT_REF.encode() not in file.read(_HEADER_BYTES).partition(b"\n")[0]:
            return None
    try:
        path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return source.encoding if source.format in ("csv", "tsv") else "windows-1252"
    return "utf-8"
