"""`dunnage status`: where the shop stands."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    import pandas as pd
    from rich.console import Console

    from models.shop_units import Units
    from pipelines.shop.settings import Settings
    from pipelines.shop.warehouse import Connection

SUMMARY = "Show what is imported, what is to be built, which letters wait, and the next runs"
EXAMPLE = "dunnage status --check     (for a monitor: exit code 1 where something is overdue)"
AGAIN = {
    "failed": "the server took none of these letters; `dunnage send --retry-failed` sends them again, "
    "`dunnage send --drop-failed` gives them up",
    "unsure": "handed over without a clear answer, so each may have arrived or not; "
    "`dunnage send --retry-unsure` sends them again, `dunnage send --arrived` says that they came",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--check", action="store_true", help="print only what is overdue or lost; exit code 1 where anything is"
    )


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from pipelines.shop import settings, warehouse

    console = Console()
    shop = settings.load_from(args.shop)
    with warehouse.reading(shop) as connection:
        if args.check:
            return _check(shop, connection)
        _show(console, shop, connection)
    return 0


def _show(console: Console, shop: Settings, connection: Connection) -> None:
    from datetime import UTC, datetime

    from pipelines import printing
    from pipelines.build import building
    from pipelines.review import status
    from pipelines.shop import run_log

    units = shop.shop.shown_units
    console.print(printing.rows("records", status.records(connection), units), "")
    built = "current" if building.is_current(connection, shop) else "to be built: the next review does it"
    console.print(f"review tables: {built}")
    _letters(console, status.unsettled_letters(connection), units)
    last = status.last_runs(connection)
    if last.empty:
        console.print("no run has been scheduled; `dunnage schedule` serves them")
        return
    console.print(printing.rows("last scheduled runs (instants in UTC)", last, units), "")
    for due in run_log.next_runs(shop, datetime.now(UTC)):
        console.print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC", highlight=False)


def _check(shop: Settings, connection: Connection) -> int:
    from datetime import UTC, datetime

    now = datetime.now(UTC)
    overdue = [line for check in (_overdue_runs, _overdue_letters) for line in check(shop, connection, now)]
    for line in overdue or ["nothing is overdue"]:
        print(line)
    return 1 if overdue else 0


def _overdue_runs(shop: Settings, connection: Connection, now: datetime) -> list[str]:
    from pipelines.shop import run_log

    return [
        f"{due.kind}: not done since its time on {due.due_on} at {due.due_at:%H:%M} UTC; is `dunnage schedule` running?"
        for due in run_log.overdue_runs(shop, now)
    ]


def _overdue_letters(shop: Settings, connection: Connection, now: datetime) -> list[str]:
    from pipelines.review import status
    from pipelines.shop import run_log

    found = status.overdue_letters(connection, (now - run_log.OVERDUE).replace(tzinfo=None))
    return [
        f"letter {row.report}, edition {row.edition}, to {row.recipient}: {row.state} after {row.attempts} attempts"
        + (f" ({row.last_error})" if row.last_error else "")
        for row in found.itertuples()
    ]


def _letters(console: Console, letters: pd.DataFrame, units: Units) -> None:
    from pipelines import printing

    if letters.empty:
        console.print("no letter waits or failed")
    else:
        console.print(printing.rows("letters not simply sent (instants in UTC)", letters, units))
        for state, what in AGAIN.items():
            if state in set(letters["state"]):
                console.print(f"{state}: {what}", highlight=False)
