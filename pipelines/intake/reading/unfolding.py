"""The formats that the reader's own process opens: workbooks, JSON and Parquet."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from models.settings.reading_limits import Limits
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.tables import Table


@dataclass(frozen=True)
class Said:
    """What the source says about its files. mapped: the headers that its column map names.

    is_encoding_stated: the user stated the encoding; else JSON has to prove that it is UTF-8.
    """

    format: str
    encoding: str
    is_encoding_stated: bool
    sheet: str | None
    header: bool
    mapped: list[str]


def unfolded(said: Said, content: Content, scratch: Path, limits: Limits) -> Table:
    """The file with its headers and first rows. Raises SourceFileError, and whatever the format's library raises.

    Libraries are loaded with the first file that needs them.
    """
    if said.format == "xlsx":
        from pipelines.intake.reading.workbooks import open_workbook

        return open_workbook(content, said.sheet, said.mapped, is_headed=said.header, limits=limits)
    if said.format == "parquet":
        from pipelines.intake.reading.parquet_files import open_parquet

        return open_parquet(content, scratch, limits)
    from pipelines.intake.reading.encodings import as_utf8
    from pipelines.intake.reading.json_records import JsonText, open_json

    path = as_utf8(content.path, content.name, said.encoding, scratch, keeps_bytes=True)
    text = JsonText(path, content.name, limits, said.format == "jsonl", said.is_encoding_stated)
    return open_json(text, said.mapped)
