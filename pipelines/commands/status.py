"""`dunnage status`: where the shop stands."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from dashboards import sentences
from dashboards.due_words import due_lines
from dashboards.sentences.letters import LETTERS, OVERDUE, RUNS
from models.plain_rows import as_dicts
from models.shop_units import Units
from pipelines import options, printing
from pipelines.build import up_to_date
from pipelines.intake.next_steps import after_import
from pipelines.review import status
from pipelines.shop import run_log, settings, warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.warehouse import Connection

if TYPE_CHECKING:
    import pandas as pd


EXAMPLE = "dunnage status --check     (for a monitor: exit code 1 where something is overdue)"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--check", action="store_true", help="print only what is overdue or lost; exit code 1 where anything is"
    )
    options.json_argument(parser)


def run(args: argparse.Namespace) -> int:
    shop = options.shop_of(args)
    with warehouse.reading(shop) as connection:
        if args.check:
            return _check(shop, connection)
        if args.json:
            return _json(shop, connection)
        is_new = _show(shop, connection)
    if is_new:
        printing.say(after_import(shop))
    return 0


def _json(shop: Settings, connection: Connection) -> int:
    found = {
        **status.due(connection),
        "marts.record_states": status.records(connection),
        "outbox.messages": status.unsettled_letters(connection),
        "outbox.runs": status.last_runs(connection),
    }
    printing.print_json(found, shop.shop.shown_units)
    return 0


def _show(shop: Settings, connection: Connection) -> bool:
    """Print where the shop stands. Returns whether nothing was imported yet."""
    units = shop.shop.shown_units
    kinds = status.records(connection)
    held = kinds if kinds["row_count"].any() or kinds["rejected_count"].any() else kinds.head(0)
    printing.show(printing.rows("records", held, units), "")
    built = "current" if up_to_date.is_current(connection, shop) else "to be built: the next review does it"
    print(f"review tables: {built}")
    for line in due_lines(status.due(connection), units, settings.now_at(shop)):
        printing.say(line)
    _letters(status.unsettled_letters(connection), units)
    last = status.last_runs(connection)
    _tell(["runs.none"], RUNS, last)
    if len(last):
        printing.show(printing.rows("last scheduled runs (instants in UTC)", last, units), "")
        for due in run_log.next_runs(shop, datetime.now(UTC)):
            print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC")
    return held.empty


def _check(shop: Settings, connection: Connection) -> int:
    now = datetime.now(UTC)
    overdue = [line for check in (_overdue_runs, _overdue_letters) for line in check(shop, connection, now)]
    for line in overdue or sentences.lines_of(["runs.nothing_overdue"], OVERDUE, [], Units("")):
        print(line)
    return 1 if overdue else 0


def _overdue_runs(shop: Settings, connection: Connection, now: datetime) -> list[str]:
    return [
        f"{due.kind}: not done since its time on {due.due_on} at {due.due_at:%H:%M} UTC; is `dunnage schedule` running?"
        for due in run_log.overdue_runs(shop, now)
    ]


def _overdue_letters(shop: Settings, connection: Connection, now: datetime) -> list[str]:
    found = status.overdue_letters(connection, (now - run_log.OVERDUE).replace(tzinfo=None))
    return [
        f"letter {row['report']}, edition {row['edition']}, to {row['recipient']}: {row['state']} "
        f"after {row['attempts']} attempts" + (f" ({row['last_error']})" if row["last_error"] else "")
        for row in as_dicts(found)
    ]


def _letters(letters: pd.DataFrame, units: Units) -> None:
    if len(letters):
        printing.show(printing.rows("letters not simply sent (instants in UTC)", letters, units))
    _tell(["letter.none_waits", "letter.failed", "letter.unsure"], LETTERS, letters)


def _tell(ids: Sequence[str], table: str, rows: pd.DataFrame) -> None:
    for line in sentences.lines_of(ids, table, rows, Units("")):
        printing.say(line)
