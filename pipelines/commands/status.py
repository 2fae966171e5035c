"""`dunnage status`: where the shop stands."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd
    from rich.console import Console

    from pipelines.settings import Settings
    from pipelines.warehouse import Connection

SUMMARY = "Show what is landed, what is to be built, which letters wait, and the next runs"
EXAMPLE = "dunnage status"
AGAIN = {
    "failed": "the server took none of these letters",
    "unsure": "handed over without a clear answer, so each may have arrived or not",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """No arguments."""


def run(args: argparse.Namespace) -> int:
    from rich.console import Console

    from pipelines import settings, warehouse

    console = Console()
    shop = settings.load_from(args.shop)
    with warehouse.reading(shop) as connection:
        _show(console, shop, connection)
    return 0


def _show(console: Console, shop: Settings, connection: Connection) -> None:
    from datetime import UTC, datetime

    from pipelines import printing, runs, scheduling, standing

    currency = shop.shop.currency
    console.print(printing.rows("records", standing.records(connection), currency), "")
    built = "current" if runs.is_current(connection, shop) else "to be built: the next review does it"
    console.print(f"review tables: {built}")
    _letters(console, standing.unsettled_letters(connection), currency)
    last = standing.last_runs(connection)
    if last.empty:
        console.print("no run has been scheduled; `dunnage schedule` serves them")
        return
    console.print(printing.rows("last scheduled runs (instants in UTC)", last, currency), "")
    for due in scheduling.next_runs(shop, datetime.now(UTC)):
        console.print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC", highlight=False)


def _letters(console: Console, letters: pd.DataFrame, currency: str) -> None:
    from pipelines import printing

    if letters.empty:
        console.print("no letter waits or failed")
    else:
        console.print(printing.rows("letters not simply sent (instants in UTC)", letters, currency))
        for state, what in AGAIN.items():
            if state in set(letters["state"]):
                console.print(f"{state}: {what}; `dunnage send --retry-{state}` sends them again", highlight=False)
