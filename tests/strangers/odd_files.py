"""Files that are odd as a whole: their names, their shape, and broken ones beside whole ones."""

from __future__ import annotations

import gzip
import io
import json
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from pipelines.shop.settings import ColumnSource
from tests.strangers import writing
from tests.strangers.plain import amount, marks, rows, trial
from tests.strangers.spreadsheets import workbook
from tests.strangers.trials import Trial

NAMES = (
    "a[1].csv",
    "a1.csv",
    "a*b.csv",
    "axb.csv",
    "what?.csv",
    "whatx.csv",
    "[!a].csv",
    "it's.csv",
    'say "hi".csv',
    "line\nbreak.csv",
    "-dash.csv",
    "ünï-日本.csv",
    "sp ace .csv",
    "%41.csv",
    "$(id).csv",
    "a;b.csv",
    "a,b.csv",
    "back\\slash.csv",
    "x" * 200 + ".csv",
    "{b,c}.csv",
    "tab\there.csv",
    "a[1].csv.gz",
    "q?.xlsx",
    "[x].parquet",
    "it's.jsonl",
    "UPPER.CSV",
    "two.dots.csv",
    "'.csv",
    "`id`.csv",
)


def trials() -> Iterator[Trial]:
    """Every odd file with its oracle."""
    yield from _names()
    yield from _shapes()
    yield from _broken()


def _names() -> Iterator[Trial]:
    for at, name in enumerate(NAMES):
        plain = name.removesuffix(".gz")
        form = plain.rpartition(".")[2].lower()
        marked = marks(f"name {at}")
        table = [[mark, amount(number), "x"] for number, mark in enumerate(marked)]
        content = writing.written(form, ("Ref", "Amount", "Remark"), table)
        content = gzip.compress(content) if name != plain else content
        yield trial(f"file name {name[:20]!r}", form, name, content, rows(marked, "an odd file name"))


def _shapes() -> Iterator[Trial]:
    """Shapes of JSON and of packed files."""
    marked = marks("shape")
    objects: list[dict[str, Any]] = [{"Ref": mark, "Amount": amount(number)} for number, mark in enumerate(marked)]
    turned = [dict(reversed(one.items())) | {f"more {number}": number} for number, one in enumerate(objects)]
    yield _shape(
        "keys in any order, more of them", "jsonl", b"\n".join(json.dumps(one).encode() for one in turned), marked
    )
    yield _shape(
        "blank lines between objects",
        "jsonl",
        b"\n\n".join(json.dumps(one).encode() for one in objects) + b"\n\n",
        marked,
    )
    yield _shape("CRLF between objects", "jsonl", b"\r\n".join(json.dumps(one).encode() for one in objects), marked)
    yield _shape(
        "byte order mark", "jsonl", b"\xef\xbb\xbf" + b"\n".join(json.dumps(one).encode() for one in objects), marked
    )
    yield _shape("byte order mark", "json", b"\xef\xbb\xbf" + json.dumps(objects).encode(), marked)
    yield _shape("a list in an object", "json", json.dumps({"count": 4, "rows": objects}).encode(), marked)
    numbers = json.dumps(objects).replace('"1.25"', "1.25").replace('"2.50"', "2.50e0").replace('"3.75"', "0.0375E+2")
    yield _shape("numbers spelled in JSON's ways", "json", numbers.encode(), marked)
    yield _shape(
        "blank rows above and between",
        "xlsx",
        workbook([[], [], ["Ref", "Amount"], [], *([one["Ref"], one["Amount"]] for one in objects), [], []]),
        marked,
    )
    yield _shape(
        "columns to the right",
        "xlsx",
        workbook([[None, None, "Ref", "Amount"], *([None, None, one["Ref"], one["Amount"]] for one in objects)]),
        marked,
    )
    halves = [
        writing.delimited(("Ref", "Amount"), [(one["Ref"], one["Amount"]) for one in half])
        for half in (objects[:2], objects[2:])
    ]
    yield replace(
        _shape("two files in one", "csv", _zipped({"a.csv": halves[0], "b.csv": halves[1]}), marked),
        file_name="shape-two.csv.zip",
    )
    harmed = _zipped({"a.csv": halves[0], "b.csv": b'\xff\xfe"\x00'})
    yield replace(
        _shape("a whole and a broken file in one", "csv", harmed, marked[:2]), file_name="shape-harmed.csv.zip"
    )


def _shape(what: str, form: str, content: bytes, marked: Sequence[str]) -> Trial:
    # Marks are those of the content, so each shape has a carrier of its own: no file corrects another.
    name = f"shape {what} {form}".replace(" ", "-").replace("'", "")
    made = trial(f"shape: {what}", form, f"{name}.{form}", content, rows(marked, what))
    columns = {**made.source.columns, "carrier": ColumnSource(value=name)}
    return replace(made, source=replace(made.source, columns=columns))


def _zipped(members: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name, content)
    return out.getvalue()


def _broken() -> Iterator[Trial]:
    """Files that hold nothing to store: they land in one shop with whole ones, which they must not hold up."""
    marked = marks("broken", 2)
    table = [[mark, amount(number), "x"] for number, mark in enumerate(marked)]
    for form in writing.FORMS:
        whole = writing.written(form, ("Ref", "Amount", "Remark"), table)
        cut = {"empty": b"", "noise": bytes(range(256)) * 4, "zeros": b"\0" * 300}
        if form not in ("csv", "tsv"):
            cut |= {"half": whole[: len(whole) // 2], "turned": whole[::-1]}
        for what, content in cut.items():
            lines = [replace(row, is_valid=False, may_vanish=True) for row in rows(marked, "a broken file")]
            name = f"broken-{what}-{form}.{form}"
            yield trial(f"broken: {what}", form, name, content, lines, extra=1000, may_be_refused=True)
        for packing in (".gz", ".zip"):
            name, content = writing.packed(f"cut-{form}.{form}", whole, packing)
            yield trial(f"broken: cut {packing}", form, name, content[:-9], [], extra=2, may_be_refused=True)
