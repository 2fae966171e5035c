"""What a source states of its text files, as the readers need it."""

import re
from dataclasses import replace

from pipelines.intake.reading.line_cells import QUOTE, Marks
from pipelines.intake.reading.tables import source_error
from pipelines.shop.settings import Source

_LONGEST_DELIMITER = 4


def as_exported(source: Source) -> Source:
    """How exports of rejected rows are written, whatever the source's own files look like."""
    return replace(source, quote=QUOTE, escape="", skip=0, header_rows=1, end_of_table=None)


def marks_of(name: str, source: Source) -> Marks:
    """Delimiter, quote and escape. Raises SourceFileError for marks that cannot be told apart."""
    delimiter = "\t" if source.format == "tsv" and source.delimiter == "," else source.delimiter
    quote = QUOTE if source.quote is None else source.quote
    if not 0 < len(delimiter) <= _LONGEST_DELIMITER or re.search(r"[\r\n]", delimiter):
        raise source_error(name, f"delimiter {delimiter!r} is not one to four characters", "fix it in dunnage.toml")
    for setting, mark in (("quote", quote), ("escape", source.escape)):
        if len(mark) > 1 or mark in ("\r", "\n") or (mark and mark in delimiter):
            raise source_error(name, f"{setting} {mark!r} is not one character of its own", "fix it in dunnage.toml")
    return Marks(delimiter, quote, "" if source.escape == quote else source.escape, source.quote is not None)
