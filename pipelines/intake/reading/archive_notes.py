"""What an archived file says of how it was read: key and value in the metadata of Parquet."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from models.sql_quoting import literal

NOTES = "dunnage_notes"
TEXTS = "dunnage_texts"


def metadata(notes: Iterable[str], as_texts: Iterable[str] | None) -> dict[str, str]:
    """notes: what the user should know, a line each. as_texts: headers of columns without a number with a fraction that
    is stored as a number; None where that is not known."""
    said = {NOTES: "\n".join(notes)}
    if as_texts is not None:
        said[TEXTS] = json.dumps(list(as_texts))  # in ASCII: a header may hold half a character
    return {name: text for name, text in said.items() if text}


def metadata_sql(notes: Iterable[str], as_texts: Iterable[str] | None) -> str:
    """The same as a last option of the engine's COPY."""
    pairs = (f"{name}: {literal(text)}" for name, text in metadata(notes, as_texts).items())
    listed = ", ".join(pairs)
    return f", kv_metadata {{{listed}}}" if listed else ""


def notes_of(archived: Path) -> tuple[str, ...]:
    """The notes that an archived file holds."""
    return tuple(_read(archived).get(NOTES.encode(), b"").decode().splitlines())


def texts_of(archived: Path) -> frozenset[str]:
    """Headers whose cells were texts in the file: a decimal point in them was written by whoever wrote the texts.

    None of a file of which that is not known: what was archived until November 2026, or joined from several.
    """
    return frozenset(json.loads(_read(archived).get(TEXTS.encode(), b"[]")))


def _read(archived: Path) -> Mapping[bytes, bytes]:
    import pyarrow.parquet as pq

    return pq.read_metadata(archived).metadata or {}
