"""The first rows of a source file as text. Its format is found by looking; the intake's own readers read it."""

import codecs
import json
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

from models.column_map import Sample
from models.errors import SourceFileError
from models.visible import LONGEST_NAME, visible
from pipelines.intake.mapping.structure import structure_notes, structure_of
from pipelines.intake.reading.finding import Content, PassedOver, seek, unpack
from pipelines.intake.reading.opening import opened
from pipelines.intake.reading.own_process import TableApart
from pipelines.shop.settings import Settings, Source

_LOOKED_AT_BYTES = 1_000_000


@dataclass(frozen=True)
class FileSample:
    """What was found: the rows, and how the file has to be read. `notes` say what was guessed."""

    sample: Sample
    source: Source
    notes: tuple[str, ...] = ()


def take_sample(path: Path, sheet: str | None = None) -> FileSample:
    """The first rows of a CSV, TSV, XLSX, JSON, JSON Lines or Parquet file, plain, gzipped or zipped.

    Of a zip file with several members the first is looked at. Raises SourceFileError for a file that is none of
    these, that is damaged, or that holds no row.
    """
    with tempfile.TemporaryDirectory() as scratch:
        content = _unpacked(path, Path(scratch))
        with content.path.open("rb") as file:
            start = file.read(_LOOKED_AT_BYTES)
        source = _found_source(start, sheet)
        table = opened(source, content, Path(scratch))
        rows = tuple(tuple(row) for row in table.rows)
    if not table.headers:
        raise _unreadable(path, "holds no header and no row")
    if torn := [header for header in table.headers if not _is_writable(header)]:
        raise _unreadable(path, f"has a header with half a character: {torn[0]!r}")
    sample = Sample(tuple(table.headers), rows, is_typed=source.format != "csv")
    return FileSample(sample, source, (*_notes(source), *_sheet_notes(source, table)))


def _unreadable(path: Path, what: str, then: str = "check the file, or export it again") -> SourceFileError:
    return SourceFileError(str(path), what, "no column map is proposed", then)


def _is_writable(header: str) -> bool:
    """JSON may spell one half of a two-part character; no file can hold that."""
    return not any("\ud800" <= letter <= "\udfff" for letter in header)


def _unpacked(path: Path, scratch: Path) -> Content:
    if not path.is_file():
        raise _unreadable(path, "is a folder" if path.is_dir() else "is not there", "check the name")
    candidates = seek(Settings(folder=path.parent), [path], None)
    if not candidates:
        raise _unreadable(path, "is an empty zip file")
    first = candidates[0]
    if isinstance(first, PassedOver):
        raise _unreadable(path, first.reason)
    if isinstance(first, SourceFileError):
        raise first
    return unpack(first, scratch)


def _found_source(start: bytes, sheet: str | None) -> Source:
    encoding = encoding_of(start)
    form = format_of(start, encoding)
    found = Source(
        name="",
        kind="",
        files="",
        columns={},
        format=form,
        encoding=encoding if form in ("csv", "json", "jsonl") else "utf-8",
        sheet=sheet,
    )
    if form != "csv":
        return found
    return structure_of(readable(start, encoding), found, is_whole=len(start) < _LOOKED_AT_BYTES)


def _notes(source: Source) -> list[str]:
    if source.encoding in _ONE_BYTE:
        said = f"Not UTF-8, so taken for {source.encoding}: look at words with accents."
        return [f"{said} `encoding` of the map states another.", *structure_notes(source)]
    if source.format == "csv":
        return list(structure_notes(source))
    return []


def _sheet_notes(source: Source, table: object) -> list[str]:
    """Which of several sheets was read, where nobody said which one to read."""
    if source.sheet is not None or not isinstance(table, TableApart) or len(table.sheets) < 2:
        return []
    first, *others = (visible(name, LONGEST_NAME) for name in table.sheets)
    return [f"The first sheet, {first}, was read; others are {', '.join(others)}: name one with --sheet."]


_ONE_BYTE = ("windows-1250", "windows-1252")
# What letters of Polish words are in windows-1252: signs that stand within no word.
_CENTRAL = re.compile(r"(?i)[a-z][\u00b3\u00b9\u00bf][a-z]")
_WIDE_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def encoding_of(start: bytes) -> str:
    """`utf-16` by its mark, `utf-8` where the bytes are that, else one that knows nearly every byte: `windows-1252`, or
    `windows-1250` where the other makes words that no language has."""
    if start.startswith(_WIDE_MARKS):
        return "utf-16"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(start)
    except UnicodeDecodeError:
        return "windows-1250" if _CENTRAL.search(start.decode("windows-1252", "replace")) else "windows-1252"
    return "utf-8"


def format_of(start: bytes, encoding: str) -> str:
    """csv, xlsx, json, jsonl or parquet."""
    if start.startswith(b"PAR1"):
        return "parquet"
    if start.startswith(b"PK\x03\x04"):
        return "xlsx"
    text = readable(start, encoding).lstrip()
    if not text.startswith(("{", "[")):
        return "csv"
    return "jsonl" if _is_json_lines(text) else "json"


def readable(start: bytes, encoding: str) -> str:
    """The text of the first bytes; the last character may be cut."""
    text = codecs.getincrementaldecoder(encoding)("replace").decode(start)
    return text.removeprefix("\ufeff").replace("\x00", "")


def _is_json_lines(text: str) -> bool:
    """Whether the first line is an object by itself, and does not just wrap the list of records."""
    first, _, rest = text.partition("\n")
    try:
        found = json.loads(first)
    except (ValueError, RecursionError):
        return False
    wraps = isinstance(found, dict) and any(isinstance(value, list) for value in found.values())
    return isinstance(found, dict) and (bool(rest.strip()) or not wraps)
