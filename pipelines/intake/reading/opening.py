"""The right reader for a file: by the source's format, or as an export of rejected rows that comes back."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from models.settings.reading_limits import DEFAULTS, Limits
from pipelines.intake.reading.delimited import open_delimited
from pipelines.intake.reading.encodings import as_utf8, is_utf8
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.own_process import open_apart, warm_up
from pipelines.intake.reading.tables import REJECT_REF, Table, source_error
from pipelines.shop.settings import Source

_HEADER_BYTES = 1 << 16
_OF_LINES = ("csv", "tsv", "jsonl")


def opened(source: Source, content: Content, scratch: Path, limits: Limits = DEFAULTS) -> Table:
    """The file with its headers and first rows. Raises SourceFileError."""
    encoding = _export_encoding(content.path, source)
    if encoding or source.format in _OF_LINES:
        _refuse_long_lines(content, limits)
    if encoding:
        exported = replace(source, format="csv", delimiter=export_delimiter(source), header=True)
        path = as_utf8(content.path, content.name, encoding, scratch)
        return open_delimited(path, content, exported, is_export=True, limits=limits)
    if source.format not in ("csv", "tsv"):
        return open_apart(source, content, scratch, limits)
    path = as_utf8(content.path, content.name, source.read_as, scratch, keeps_bytes=True)
    return open_delimited(path, content, source, limits=limits)


def expect(sources: Iterable[Source]) -> None:
    """Start the reader now where one of these sources will ask for it: it takes a third of a second to come."""
    if any(source.format not in ("csv", "tsv") for source in sources):
        warm_up()


def _refuse_long_lines(content: Content, limits: Limits) -> None:
    if content.longest_line > limits.longest_line:
        raise source_error(
            content.name,
            f"has a line of more than {limits.longest_line_mb} MB",
            "look at it; longest_line_mb under [reading] in dunnage.toml may be raised",
        )


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
    if is_utf8(path):
        return "utf-8"
    return source.read_as if source.format in ("csv", "tsv") else "windows-1252"
