"""Gathers what one month's review shows, and puts the drawn files where they belong."""

import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path

import pandas as pd

from models.absent import as_known
from models.completed_months.invoice_delays import ENOUGH, is_usually_billed
from models.errors import BEGIN, NotFoundError, SettingsError
from models.tables import TABLES
from pipelines.shop import durable, warehouse

# Too long for a page; their sums are shown, and `dunnage trace` leads into them.
NOT_SHOWN = {
    *("marts.parcel_costs", "marts.parcel_line_costs", "marts.margin_cells"),
    *("marts.exposure_cells", "marts.claim_losses", "analysis.method_carriage"),
    "analysis.forward_costs",
    *("marts.surcharge_near_misses", "marts.surcharge_year", "marts.carton_bulges"),
    *("marts.carriage_cells", "marts.invoice_delays"),
}


def month_named(text: str | None, connection: warehouse.Connection) -> date:
    """The first day of a month given as 2026-10; without one, the last month that is over and, as fast as the
    shop's invoices usually come, nearly all billed.

    Raises SettingsError for text that is no month, NotFoundError for a month without parcels.
    """
    known = [row[0] for row in connection.execute("select shipped_month from marts.coverage order by 1").fetchall()]
    if not known:
        raise NotFoundError("records", "no parcel is on record yet", "every review", BEGIN)
    month = _parsed(text) if text else _last_whole(connection, known)
    if month not in known:
        raise NotFoundError(
            f"review {month:%Y-%m}",
            "no parcel on record is counted in that month",
            "this review",
            f"choose a month from {known[0]:%Y-%m} to {known[-1]:%Y-%m}",
        )
    return month


def _parsed(text: str) -> date:
    try:
        return datetime.strptime(text, "%Y-%m").date()
    except ValueError:
        raise SettingsError(f"month {text!r}", "is no month", "this command", "write it as 2026-10") from None


def _last_whole(connection: warehouse.Connection, known: list[date]) -> date:
    """The latest month with parcels that the records show to be over, some record being dated after it, and whose
    invoices are there, or have usually come by the last day on record; where none has, the latest that is over.
    """
    last = _last_day(connection)
    over = [month for month in reversed(known) if _is_over(month, last)]
    if last is None or not over:
        return known[-1]
    return next(filter(_known_bills(connection, last), over), over[0])


def standing(connection: warehouse.Connection, month: date) -> dict[str, bool]:
    """Whether a month is over by the records (`is_over`), and then nearly all billed or usually would be
    (`is_billed`): why `month_named` chose it."""
    last = _last_day(connection)
    is_over = _is_over(month, last)
    is_billed = last is not None and is_over and _known_bills(connection, last)(month)
    return {"is_over": is_over, "is_billed": is_billed}


def _last_day(connection: warehouse.Connection) -> date | None:
    known = connection.execute("select max(last_on) from marts.record_states where kind <> 'cartons'").fetchall()
    last: date | None = known[0][0]
    return last


def _is_over(month: date, last: date | None) -> bool:
    return last is not None and month < last.replace(day=1)


def _known_bills(connection: warehouse.Connection, last: date) -> Callable[[date], bool]:
    """Tells of a month whether its invoices are there, or have usually come by the last day on record."""
    delays, today, billed = _rows(connection, "marts.invoice_delays"), pd.Timestamp(last), _billed(connection)
    return lambda month: month in billed or is_usually_billed(delays, pd.Timestamp(month), today)


def _billed(connection: warehouse.Connection) -> set[date]:
    """The months whose parcels the bench log names, ENOUGH of them with their base charge: they wait for no invoice."""
    asked = "benched_parcel_count = parcel_count and charged_count >= ? * parcel_count and parcel_count > 0"
    found = connection.execute(f"select shipped_month from marts.coverage where {asked}", [ENOUGH]).fetchall()
    return {month for (month,) in found}


def gathered(connection: warehouse.Connection) -> dict[str, pd.DataFrame]:
    """Every mart and analysis table that a review shows, by name, in the order of its key.

    What no record of the shop can say is null in them (models/absent.py).
    """
    shown = [name for name in TABLES if name.startswith(("marts.", "analysis.")) and name not in NOT_SHOWN]
    return as_known(tables_of(connection, shown))


def tables_of(connection: warehouse.Connection, names: Iterable[str]) -> dict[str, pd.DataFrame]:
    """The tables of these names, each in the order of its key."""
    return {name: _rows(connection, name) for name in names}


def sheets_of(connection: warehouse.Connection, item_type: str | None) -> pd.DataFrame:
    """The rows of analysis.bench_sheets, or those of one item type. Raises NotFoundError where it has none."""
    found = _rows(connection, "analysis.bench_sheets")
    if item_type is None:
        return found
    chosen = found[found["item_type"] == item_type].reset_index(drop=True)
    if chosen.empty:
        raise NotFoundError(
            f"item type {item_type}",
            "has no bench sheet",
            "this command",
            f"choose one of {', '.join(found['item_type'].drop_duplicates()) or 'none yet'}",
        )
    return chosen


def without_sheet(connection: warehouse.Connection) -> list[str]:
    """The item types of the shop that have no bench sheet."""
    listed = connection.execute(
        "select distinct t.item_type from accepted.item_types as t "
        "where t.item_type not in (select s.item_type from analysis.bench_sheets as s) order by t.item_type"
    )
    return [str(name) for (name,) in listed.fetchall()]


def _rows(connection: warehouse.Connection, table: str) -> pd.DataFrame:
    contract = TABLES[table]
    order = ", ".join(contract.key)
    columns = ", ".join(contract.columns)
    return connection.execute(f"select {columns} from {table} order by {order}").df()


def written(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Write each file whole or not at all; returns their paths."""
    return [durable.write(folder / name, content) for name, content in files.items()]


def page_name(kind: str, named: str) -> str:
    """The file name of a page about one thing, whatever characters its name has: placement-NL40017733.html."""
    return f"{kind}-{re.sub(r'[^A-Za-z0-9._-]+', '-', named)}.html"


def reviewed(folder: Path) -> dict[date, str]:
    """The months whose page lies in the folder, with the page's name."""
    found = {}
    for page in folder.glob("review-????-??.html"):
        with suppress(ValueError):
            found[datetime.strptime(page.stem, "review-%Y-%m").date()] = page.name
    return found
