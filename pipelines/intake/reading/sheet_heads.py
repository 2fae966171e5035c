"""Where the table of a sheet begins: which of its first rows holds the headers."""

import re
from collections import Counter
from collections.abc import Collection, Sequence

from pipelines.intake.reading.tables import plain_header, unique_headers


def head_place(rows: Sequence[Sequence[str]], mapped: Collection[str]) -> int:
    """The place of the headers among the first filled rows: where the mapped ones stand below titles only, else 0.

    Where none is mapped yet, it is the first row with as many cells as most have, or the words above it that lack one.
    """
    if not mapped:
        return _likely_place(rows)
    wanted = set(map(plain_header, mapped))
    for at, row in enumerate(rows):
        if wanted.issubset(map(plain_header, unique_headers(row))):
            return at if all(_filled(above) <= max(1, _filled(row) // 2) for above in rows[:at]) else 0
    return 0


def _likely_place(rows: Sequence[Sequence[str]]) -> int:
    usual = Counter(map(_filled, rows)).most_common(1)[0][0]
    at = next(at for at, row in enumerate(rows) if _filled(row) >= usual)
    is_short = at and _filled(rows[at - 1]) == usual - 1 and not _has_figures(rows[at - 1]) and _has_figures(rows[at])
    return at - 1 if is_short else at


def _filled(row: Sequence[str]) -> int:
    return sum(bool(cell.strip()) for cell in row)


def _has_figures(row: Sequence[str]) -> bool:
    return any(re.search(r"\d", cell) for cell in row)
