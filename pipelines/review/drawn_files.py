"""The files of a month that were drawn from the same tables by the same program stay as they are.

Drawing them takes more than all else of a review where nothing has changed. A note beside them holds a digest of what
they were drawn from and of each file: one that is missing, torn or altered is drawn again, with the others.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import fields
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from pipelines.shop import durable, program_text

if TYPE_CHECKING:
    from dashboards.review_tables import Review

# Libraries whose text or numbers stand in the files.
LIBRARIES = ("babel", "jinja2", "pandas", "plotly", "xlsxwriter")


def drawn(folder: Path, name: str, review: Review, draw: Callable[[Review], Mapping[str, bytes]]) -> list[Path]:
    """The paths of the review's files in the folder: as they lie there, or drawn and written, each whole or not at all.

    name: what they are called without an ending. draw: their content by name; not called where all stand.
    """
    note, source = folder / f".{name}.json", source_digest(review)
    if (standing := _standing(note, source)) is not None:
        return standing
    contents = draw(review)
    paths = [durable.write(folder / each, content) for each, content in contents.items()]
    digests = {each: hashlib.sha256(content).hexdigest() for each, content in contents.items()}
    durable.write(note, json.dumps({"source": source, "files": digests}))
    return paths


def _standing(note: Path, source: str) -> list[Path] | None:
    """The files that the note names, where they were drawn from the same and are as they were written."""
    try:
        said = json.loads(note.read_text(encoding="utf-8"))
        digests = {note.with_name(name): digest for name, digest in said["files"].items()}
        are_whole = all(hashlib.sha256(path.read_bytes()).hexdigest() == digest for path, digest in digests.items())
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None
    return list(digests) if are_whole and said["source"] == source else None


def source_digest(review: Review) -> str:
    """A digest of all that the files are drawn from; of the clock the day alone, with which deadlines are compared."""
    names = [each.name for each in fields(review) if each.compare and each.name != "tables"]
    stated = [(name, review.made_at.date() if name == "made_at" else getattr(review, name)) for name in names]
    seen = hashlib.sha256(repr((_program(), stated)).encode())
    for name, rows in sorted(review.tables.items()):
        seen.update(repr((name, [(str(column), str(kind)) for column, kind in rows.dtypes.items()])).encode())
        seen.update(rows.isna().to_numpy().tobytes())  # the hash takes an unknown text for the text "nan"
        seen.update(pd.util.hash_pandas_object(rows).to_numpy().tobytes())
    return seen.hexdigest()


def _program() -> tuple[str, ...]:
    versions = (metadata.version(name) for name in LIBRARIES)
    return (program_text.digest("models", "dashboards", "pipelines"), *versions)
