"""`dunnage schedule`: intake, watch and review by the clock."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.timetable import Due
    from pipelines.settings import Settings

SUMMARY = "Serve the scheduled runs until stopped: intake daily, watch weekly, review monthly with its letters, backups"
EXAMPLE = "dunnage schedule            (or, from a timer: dunnage schedule --once)"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--once", action="store_true", help="do the runs that are due now, then end")


def run(args: argparse.Namespace) -> int:
    from datetime import UTC, datetime

    from pipelines import scheduling, serving, settings

    shop = settings.load_from(args.shop)
    now = datetime.now(UTC)
    scheduling.begin(shop, now)
    missed = scheduling.due_runs(shop, now)
    for due in missed:
        print(f"to be made up: {due.kind} of {due.due_on}")
    if args.once:
        return _make_up(shop, missed)
    with serving.server(shop) as address:
        from pipelines import flows  # only now: the orchestrator reads its address when it is loaded

        flows.make_up(shop, missed)
        for due in scheduling.next_runs(shop, datetime.now(UTC)):
            print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC")
        print(f"serving by {address}; stop with Ctrl-C", flush=True)
        flows.serve_schedule(shop)
    return 0


def _make_up(shop: Settings, missed: Sequence[Due]) -> int:
    from pipelines import reports, serving

    if missed:
        serving.set_up(shop)
        from pipelines import flows

        flows.make_up(shop, missed)
    else:
        reports.send_waiting(shop)
    return 0
