"""`dunnage schedule`: intake, watch and review by the clock."""

import argparse
import signal
import sys
import time
from contextlib import nullcontext, suppress
from datetime import UTC, date, datetime
from pathlib import Path

from models.errors import DunnageError
from models.timetable import Due, Schedule
from pipelines import options
from pipelines.orchestration import workers
from pipelines.shop import run_log, settings, warehouse
from pipelines.shop.settings import Settings

EXAMPLE = "dunnage schedule            (or, from a timer: dunnage schedule --once)"
# How often the clock on the wall is looked at: it may be set, and the machine may sleep.
LOOK_SECONDS = 20.0
# What did not succeed is tried again after so many seconds; the last one holds from then on.
PAUSES = (60.0, 300.0, 900.0, 3600.0)


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--once", action="store_true", help="do the runs that are due now, then end")
    parser.add_argument("--tied", action="store_true", help=argparse.SUPPRESS)  # ends when its standard input closes
    parser.add_argument("--after-hang", action="store_true", help=argparse.SUPPRESS)  # the child before was ended


def run(args: argparse.Namespace) -> int:
    if args.tied:
        workers.end_with_parent()
    shop = options.shop_of(args)
    if not args.once:
        return _serve(shop)
    # Of a child the one that started it sees to the limit; from a timer nobody does.
    with nullcontext() if args.tied else workers.limited(shop.schedule.end_after_seconds):
        return _once(shop, is_after_hang=args.after_hang)


def _once(shop: Settings, *, is_after_hang: bool) -> int:
    from pipelines.delivery import owner_letters

    now = datetime.now(UTC)
    if is_after_hang:
        owner_letters.mail_hang(shop, now)
    run_log.begin(shop, now)
    absences, due_runs = run_log.absences(shop, now), run_log.due_runs(shop, now)
    if not due_runs and sys.stdout.isatty():  # a timer's mail says nothing of nothing
        following = "; ".join(f"next {each.kind}: {each.due_on}" for each in run_log.next_runs(shop, now))
        print(f"no run is due; {following}")
    for due in due_runs:
        print(f"to be made up: {due.kind} of {due.due_on}", flush=True)
    # Before the runs, so that no kill loses it; what hinders it hinders no run, and is met again after them.
    with suppress(Exception):
        owner_letters.mail_absences(shop, absences)
    failed = _made_up(shop, due_runs) if due_runs else []
    owner_letters.mail_absences(shop, absences)
    owner_letters.send_waiting(shop)
    return 1 if failed else 0


def _made_up(shop: Settings, due_runs: list[Due]) -> list[Due]:
    from pipelines.orchestration import serving

    serving.set_up(shop)
    from pipelines import flows  # only now: the orchestrator reads its settings when it is loaded

    return flows.make_up(shop, due_runs)


def _serve(shop: Settings) -> int:
    signal.signal(signal.SIGTERM, _stop)
    now = datetime.now(UTC)
    run_log.begin(shop, now)
    for due in run_log.next_runs(shop, now):
        print(f"next {due.kind}: {due.due_on} at {due.due_at:%H:%M} UTC")
    print("waiting for them; stop with Ctrl-C", flush=True)
    _keep_time(shop.folder)
    return 0


def _stop(*_: object) -> None:
    print("stopped; a run that was at work is done again when the schedule is back", flush=True)
    raise SystemExit(0)


def _keep_time(folder: Path) -> None:
    """For ever: do what is due in a process of its own; what did not succeed is tried again after a pause."""
    seen: set[Due] = set()
    tries, again_at, has_hung = 0, 0.0, False
    while True:
        work = _work(folder)
        if not work:
            seen, tries = set(), 0
        elif work - seen or time.monotonic() >= again_at:
            tries = 1 if work - seen else tries + 1
            has_hung = _is_hung(folder, is_after_hang=has_hung)
            seen, again_at = seen | work, time.monotonic() + PAUSES[min(tries, len(PAUSES)) - 1]
        time.sleep(LOOK_SECONDS)


def _is_hung(folder: Path, *, is_after_hang: bool) -> bool:
    """Let a child do what is due; true where it was not over in time and was ended. The next one tells the owner."""
    words = ["--shop", str(folder), "schedule", "--once", "--tied", *["--after-hang"] * is_after_hang]
    longest = _limit(folder)
    try:
        ended = workers.do(words, longest)
    except TimeoutError:
        print(f"the run was not over after {longest / 3600:g} hours and was ended; it is done again", flush=True)
        return True
    if ended < 0:
        print(f"the run was ended by signal {-ended}; it is done again", flush=True)
    return False


def _limit(folder: Path) -> float:
    """Seconds after which a child counts as hung, as the settings say now; as usual where they cannot be read."""
    try:
        return settings.load(folder).schedule.end_after_seconds
    except (DunnageError, OSError):
        return Schedule().end_after_seconds


def _work(folder: Path) -> set[Due]:
    """What is due: runs, letters, and the reason why that is not known, which the child's own attempt will name."""
    from pipelines.delivery import outbox

    now = datetime.now(UTC)
    try:
        shop = settings.load(folder)
        due = set(run_log.due_runs(shop, now))
        letters_at = outbox.next_letter_at(shop, now.replace(tzinfo=None))
    except (DunnageError, warehouse.EngineError, OSError) as wrong:
        return {Due(str(wrong), date.min, now.min)}
    if letters_at and letters_at <= now.replace(tzinfo=None):
        due.add(Due("letters", date.min, letters_at))
    return due
