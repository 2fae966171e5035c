"""The key by which files belong together, found by what their columns hold."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from models.column_map import Sample
from models.errors import ColumnMapError
from pipelines.intake.mapping.sample import FileSample
from pipelines.intake.reading.joined import by_key, completed, joined_headers
from pipelines.intake.reading.tables import plain_header

# A key's values: nearly each row has its own where it is looked up, and nearly all that look it up are found.
_ALONE, _FOUND = 0.99, 0.5


@dataclass(frozen=True)
class JoinedFile:
    """A file that is joined: its sample, and the key's headers in the first file and in this one."""

    path: Path
    found: FileSample
    by: str
    there: str


def put_together(files: Sequence[tuple[Path, FileSample]], by: str | None) -> tuple[Path, FileSample, list[JoinedFile]]:
    """The file whose rows the others complete, and the others with their keys. by: the key's header, if stated.

    Raises ColumnMapError where no column of one file is a key of another.
    """
    for path, first in files:
        others = [(each, sample) for each, sample in files if each != path]
        keys = [_key(first.sample, sample.sample, by) for _, sample in others]
        if all(keys):
            stated = [JoinedFile(each, sample, *key) for (each, sample), key in zip(others, keys, strict=True) if key]
            return path, first, stated
    raise ColumnMapError(
        ", ".join(path.name for path, _ in files),
        "no column of one file is a key of the other",
        "no column map is proposed",
        "name the column that both have with --by; in one of them each of its values may stand once only",
    )


def _key(first: Sample, other: Sample, by: str | None) -> tuple[str, str] | None:
    """The pair of headers with the most values in common, equal headers before others."""
    pairs = [
        (plain_header(here) == plain_header(there), share, here, there)
        for there in other.headers
        if _is_alone(other, there) and (by is None or plain_header(by) == plain_header(there))
        for here in first.headers
        if (share := _share(first, here, other, there)) >= _FOUND
    ]
    best = max(pairs, default=None)
    return (best[2], best[3]) if best else None


def _is_alone(sample: Sample, header: str) -> bool:
    values = sample.column(header)
    return bool(values) and len(values) >= 0.9 * len(sample.rows) and len(set(values)) >= _ALONE * len(values)


def _share(first: Sample, here: str, other: Sample, there: str) -> float:
    values, known = first.column(here), set(other.column(there))
    if not values or len(values) < 0.9 * len(first.rows):
        return 0.0
    is_named_alike = plain_header(here) == plain_header(there)
    is_code = any(not value.isdigit() or len(value) > 3 for value in known)
    return sum(value in known for value in values) / len(values) if is_named_alike or is_code else 0.0


def together(first: FileSample, joined: Sequence[JoinedFile]) -> Sample:
    """The first rows of all files as one table."""
    rows = [tuple(row) for row in first.sample.rows]
    for each in joined:
        at, other = first.sample.headers.index(each.by), each.found.sample
        known = dict(by_key(other.headers, other.rows, each.there))
        rows = completed(rows, at, known, len(other.headers) - 1)
    own = ([header for header in each.found.sample.headers if header != each.there] for each in joined)
    headers = joined_headers([first.sample.headers, *own])
    is_typed = first.sample.is_typed or any(each.found.sample.is_typed for each in joined)
    return Sample(headers, tuple(rows), is_typed, joined=frozenset(headers[len(first.sample.headers) :]))
