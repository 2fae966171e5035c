"""The margin of one span of months against another's, bridged."""

import re
from datetime import date, datetime

import pandas as pd

from models.analyses.bridge import bridge
from models.errors import NotFoundError, SettingsError
from models.sql_texts import sql_texts
from pipelines.shop import warehouse

SPAN = re.compile(r"(\d{4}-\d{2})(?:\.\.(\d{4}-\d{2}))?")


def bridged(connection: warehouse.Connection, before: str, after: str) -> pd.DataFrame:
    """The steps between two spans, each a month as 2026-10 or several as 2026-01..2026-06.
    parcel_count: of the later span.

    Raises SettingsError for text that is no span, NotFoundError for a span without a row of records.
    """
    cells = connection.execute(sql_texts("queries")["bridge_cells"]).df()
    later = _within(cells, after)
    return bridge(_within(cells, before), later).assign(parcel_count=int(later["parcel_count"].sum()))


def _within(cells: pd.DataFrame, text: str) -> pd.DataFrame:
    first, last = span(text)
    found = cells[cells["shipped_month"].between(pd.Timestamp(first), pd.Timestamp(last))]
    if found.empty:
        known = cells["shipped_month"]
        listed = (
            f"choose months from {known.min():%Y-%m} to {known.max():%Y-%m}" if len(known) else "run `dunnage intake`"
        )
        raise NotFoundError(f"months {text}", "nothing was shipped or billed then", "this bridge", listed)
    return found


def span(text: str) -> tuple[date, date]:
    """First days of the first and last month. Raises SettingsError."""
    found = SPAN.fullmatch(text)
    try:
        first, last = (datetime.strptime(part, "%Y-%m").date() for part in _ends(found))
    except ValueError:
        first, last = date.max, date.min
    if first > last:
        raise SettingsError(
            f"months {text!r}", "are no span of months", "this command", "write 2026-10, or 2026-01..2026-06"
        )
    return first, last


def _ends(found: re.Match[str] | None) -> tuple[str, str]:
    return (found[1], found[2] or found[1]) if found else ("", "")
