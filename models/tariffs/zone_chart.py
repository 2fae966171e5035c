"""The zone chart of a tariff: a CSV of origin, destination and zone, of which the rows for the shop's origin count."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping

from models.tariffs.places import begins, normal, prefixes
from models.tariffs.reading import Notes, Section
from models.tariffs.rules import ChartRow

CHART_HEADER = ["origin", "destination", "zone"]
_WRONG = "write origin,destination,zone: beginnings of postal codes, a range as 20000..20999, an empty origin for any"


def zone_chart(top: Section, text_of: Callable[[str], str | None]) -> tuple[ChartRow, ...]:
    """The chart's rows for `ships_from`; none where the tariff names no chart. What is wrong becomes a finding."""
    file = top.text("zone_chart", needed=False)
    ships_from = top.text("ships_from", needed=bool(file))
    if not file:
        return ()
    text = text_of(file)
    if text is None:
        top.wrong("zone_chart", f"= {file} does not exist", "put the file beside the tariff, or correct the name")
        return ()
    notes = Notes(file)
    rows = _rows(text, notes)
    top.notes.findings += notes.findings
    found = tuple(row for row in rows if _is_from(row.origin, ships_from))
    if rows and not found:
        top.wrong("ships_from", f"= {ships_from} is no origin of {file}", "state the postal code that you ship from")
    return found


def _is_from(origin: str, ships_from: str) -> bool:
    return not origin or any(begins(normal(ships_from), prefix) for prefix in prefixes(origin))


def _rows(text: str, notes: Notes) -> list[ChartRow]:
    reader = csv.DictReader(io.StringIO(text))
    if not set(CHART_HEADER) <= set(reader.fieldnames or ()) <= {*CHART_HEADER, "service"}:
        notes.add(1, f"the header is not {','.join(CHART_HEADER)}, with or without service", "correct that line")
        return []
    return [row for cells in reader if (row := _row(cells, reader.line_num, notes))]


def _row(cells: Mapping[str, str | None], line: int, notes: Notes) -> ChartRow | None:
    origin, destination, zone = ((cells[name] or "").strip() for name in CHART_HEADER)
    try:
        for entry in filter(None, (origin, destination)):
            prefixes(entry)
        if not destination or not zone:
            raise ValueError("is not whole")
    except ValueError as wrong:
        notes.add(line, f"{origin},{destination},{zone} {wrong}", _WRONG)
        return None
    return ChartRow(origin, destination, zone, (cells.get("service") or "").strip(), line)
