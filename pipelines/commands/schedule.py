"""`dunnage schedule`: intake, watch and review by the clock."""

from __future__ import annotations

import argparse

SUMMARY = "Serve the scheduled runs until stopped: intake daily, watch weekly, review monthly with its letters"
EXAMPLE = "dunnage schedule            (or, from a timer: dunnage schedule --once)"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--once", action="store_true", help="do the runs that are due now, then end")


def run(args: argparse.Namespace) -> int:
    from datetime import UTC, datetime

    from pipelines import reports, scheduling, serving, settings

    shop = settings.load_from(args.shop)
    now = datetime.now(UTC)
    scheduling.begin(shop, now)
    missed = scheduling.due_runs(shop, now)
    for due in missed:
        print(f"to be made up: {due.kind} of {due.due_on}")
    if args.once and not missed:
        reports.send_waiting(shop)
        return 0
    with serving.server(shop) as address:
        from pipelines import flows  # only now: the orchestrator reads its address when it is loaded

        flows.make_up(shop, missed)
        if args.once:
            return 0
        for due in scheduling.next_runs(shop, datetime.now(UTC)):
            print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC")
        print(f"serving by {address}; stop with Ctrl-C", flush=True)
        flows.serve_schedule(shop)
    return 0
