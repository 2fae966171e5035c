"""Headers that programs take for something else, and headers that are hard to tell apart."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Sequence
from itertools import product

import pyarrow as pa
import pyarrow.parquet as pq

from tests.strangers import writing
from tests.strangers.plain import amount, marks, rows, trial
from tests.strangers.trials import Trial

HEADERS = (
    'Amo"unt',
    "Amo'unt",
    "a;b",
    "a,b",
    "Amount\nnet",
    "%s",
    "{x}",
    "[x]",
    "a*",
    "rowid",
    "delivery_id",
    "row_number",
    "line_number",
    "select",
    "null",
    "1",
    "A.B",
    "a/b",
    "\\",
    "--",
    "#",
    "=1+1",
    "Größe",
    "金額",
    "x" * 300,
    "$",
    "?",
    "filename",
)
TWINS = (
    ("amount", True),
    ("AMOUNT", True),
    ("Amount ", True),
    (" Amount", True),
    ("Amount\u00a0", True),
    ("Amount", False),
)


def trials() -> Iterator[Trial]:
    """Every odd header in every format."""
    yield from _headers()
    yield from _twins()


def _headers() -> Iterator[Trial]:
    for at, header in enumerate(HEADERS):
        for form in writing.FORMS:
            marked = marks(f"header {at} {form}")
            table = [[mark, amount(number), "x"] for number, mark in enumerate(marked)]
            content = writing.written(form, ("Ref", header, "Remark"), table)
            yield trial(
                f"header {header[:20]!r}",
                form,
                f"header{at}-{form}.{form}",
                content,
                rows(marked, "an odd header"),
                header,
                is_compared=True,
            )


def _twins() -> Iterator[Trial]:
    """Two columns that differ in letters or blanks only, or in nothing; the map names the one spelled "Amount"."""
    for at, (twin, is_told_apart) in enumerate(TWINS):
        for form, is_first in product(("csv", "tsv", "xlsx", "jsonl", "parquet"), (True, False)):
            headers = ("Ref", "Amount", twin) if is_first else ("Ref", twin, "Amount")
            marked = marks(f"twin {at} {form} {is_first}")
            pairs = [[amount(number), amount(number, 3)] for number in range(len(marked))]
            table = [[mark, *(pair if is_first else pair[::-1])] for mark, pair in zip(marked, pairs, strict=True)]
            yield trial(
                f"twin headers {twin!r} {is_first}",
                form,
                f"twin{at}{is_first}-{form}.{form}",
                _repeated(form, headers, table),
                rows(marked, "one of two headers alike", is_valid=False, is_allowed=is_told_apart),
                may_be_refused=True,
                is_compared=True,
            )


def _repeated(form: str, headers: Sequence[str], table: list[list[str]]) -> bytes:
    """A file that may have a header twice."""
    if form == "jsonl":
        lines = (
            "{"
            + ", ".join(f"{json.dumps(name)}: {json.dumps(cell)}" for name, cell in zip(headers, row, strict=True))
            + "}"
            for row in table
        )
        return "\n".join(lines).encode()
    if form == "parquet":
        out = io.BytesIO()
        pq.write_table(
            pa.Table.from_arrays([pa.array(cells) for cells in zip(*table, strict=True)], names=list(headers)), out
        )
        return out.getvalue()
    return writing.written(form, headers, table)
