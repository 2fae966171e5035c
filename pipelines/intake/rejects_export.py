"""Rejected rows, exported so that they can be corrected and sent again.

An export has the source's own columns, then `reject_ref` and `reason`. Where it is taken in again, `reject_ref` says
which rejection each row answers, so that a corrected row counts once.
"""

import csv
import json
import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path

from models.errors import NotFoundError
from models.shop_units import Units
from pipelines.intake.reading.opening import export_delimiter
from pipelines.intake.reading.tables import REASON, REJECT_REF, WHOLE_ROW
from pipelines.shop import durable
from pipelines.shop.settings import Settings, Source
from pipelines.shop.warehouse import Connection

OPEN = "resolved_by is null"
# A spreadsheet takes a cell that begins so for a formula. A number with its sign is none.
_FORMULA = re.compile(r"^'*[=+\-@\t\r]")
_SIGNED = re.compile(r"^[+-][\d.,]+$")


def export(
    connection: Connection, settings: Settings, now: datetime, only: str | None = None
) -> list[tuple[Path, int]]:
    """Write one CSV per source with open rejections into the shop's folder `rejects`; returns files and row counts.

    only: of this source alone.

    Raises NotFoundError where there is none.
    """
    found = connection.execute(
        f"select source_name, count(*) from rejected.rows where {OPEN} and source_name = coalesce(?, source_name) "
        "group by source_name order by source_name",
        [only],
    ).fetchall()
    if not found:
        raise NotFoundError("rejected rows", "there are none", "nothing", "nothing to do")
    known = {source.name: source for source in settings.sources}
    return [(_write(connection, settings, name, known.get(name), now), int(rows)) for name, rows in found]


def _write(connection: Connection, settings: Settings, name: str, source: Source | None, now: datetime) -> Path:
    rejected = connection.execute(
        f"select delivery_id || ':' || row_number, source_text, reason, column_name from rejected.rows "
        f"where {OPEN} and source_name = ? order by delivery_id, row_number",
        [name],
    ).fetchall()
    headers = _headers([str(row[1]) for row in rejected], source)
    target = settings.path("rejects") / f"rejected-{name}-{now:%Y-%m-%d-%H%M%S}.csv"
    beside = target.with_name(f"rejected-{name}.writing")  # one name, so that the next export replaces a killed one's
    delimiter = export_delimiter(source) if source is not None else ","
    # The byte order mark tells a spreadsheet that this is UTF-8.
    with durable.replacing(target, beside) as fresh, fresh.open("w", encoding="utf-8-sig", newline="") as out:
        writer = csv.writer(out, delimiter=delimiter)
        writer.writerow([*headers, REJECT_REF, REASON])
        writer.writerows(_cells(row, headers, settings.shop.shown_units) for row in rejected)
    return target


def _headers(source_texts: Sequence[str], source: Source | None) -> list[str]:
    """The source's columns, also where every rejected row lacks them; last the text of rows without cells."""
    found = dict.fromkeys(header for text in source_texts for header in json.loads(text))
    known = {header.casefold() for header in found}
    mapped = (said.column for said in source.columns.values()) if source else ()
    found |= dict.fromkeys(header for header in mapped if header and header.casefold() not in known)
    return sorted(found, key=lambda header: header == WHOLE_ROW)


def _cells(row: Sequence[object], headers: Sequence[str], units: Units) -> Iterator[str]:
    reference, text, reason, column = map(str, row)
    cells = json.loads(text)
    yield from (guarded(cells.get(header) or "") for header in headers)
    yield reference
    yield units.converted(f"{column}: {reason}")


def guarded(cell: str) -> str:
    """The cell with an apostrophe before it where a spreadsheet would take it for a formula. Intake takes it off."""
    return f"'{cell}" if _FORMULA.match(cell) and not _SIGNED.match(cell) else cell
