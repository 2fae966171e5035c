"""The same rows in each format that the README names, plain, zipped and gzipped."""

from __future__ import annotations

import csv
import gzip
import io
import json
import zipfile
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from tests.strangers.spreadsheets import workbook

Table = Sequence[Sequence[Any]]
FORMS = ("csv", "tsv", "xlsx", "json", "jsonl", "parquet")
TYPED_FORMS = ("xlsx", "json", "jsonl", "parquet")
PACKINGS = ("", ".gz", ".zip")
ENDINGS = {form: f".{form}" for form in FORMS}


def written(form: str, headers: Sequence[str], rows: Table, **more: Any) -> bytes:
    """The file's bytes; `more` is the delimiter and encoding of a text file."""
    return _WRITERS[form](headers, rows, **more)


def delimited(headers: Sequence[str], rows: Table, *, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """RFC 4180, with another delimiter where asked."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter)
    writer.writerow(headers)
    writer.writerows([["" if cell is None else cell for cell in row] for row in rows])
    return out.getvalue().encode(encoding)


def _tabbed(headers: Sequence[str], rows: Table, *, delimiter: str = "\t", encoding: str = "utf-8") -> bytes:
    return delimited(headers, rows, delimiter="\t", encoding=encoding)


def _objects(headers: Sequence[str], rows: Table) -> list[dict[str, Any]]:
    return [dict(zip(headers, row, strict=True)) for row in rows]


def _json(headers: Sequence[str], rows: Table, **_: Any) -> bytes:
    return json.dumps(_objects(headers, rows), default=_iso, indent=1).encode()


def _json_lines(headers: Sequence[str], rows: Table, **_: Any) -> bytes:
    return "".join(json.dumps(row, default=_iso) + "\n" for row in _objects(headers, rows)).encode()


def _iso(cell: Any) -> str:
    if isinstance(cell, date | datetime):
        return cell.isoformat()
    raise TypeError(f"{cell!r} has no place in JSON")


def _parquet(headers: Sequence[str], rows: Table, **_: Any) -> bytes:
    out = io.BytesIO()
    columns = list(zip(*rows, strict=True))
    pq.write_table(pa.table({name: list(cells) for name, cells in zip(headers, columns, strict=True)}), out)
    return out.getvalue()


def _workbook(headers: Sequence[str], rows: Table, **_: Any) -> bytes:
    return workbook([headers, *rows])


_WRITERS: dict[str, Callable[..., bytes]] = {
    "csv": delimited,
    "tsv": _tabbed,
    "xlsx": _workbook,
    "json": _json,
    "jsonl": _json_lines,
    "parquet": _parquet,
}


def packed(name: str, content: bytes, packing: str) -> tuple[str, bytes]:
    """The file under its name, packed as its ending says."""
    if packing == ".gz":
        return name + packing, gzip.compress(content, mtime=0)
    if packing == ".zip":
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as members:
            members.writestr(name, content)
        return name + packing, out.getvalue()
    return name, content
