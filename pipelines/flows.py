"""The runs as Prefect flows: the same steps, with names and a record of each run. The only user of Prefect.

`dunnage schedule` begins the runs; Prefect records what was done, in the shop's folder or at the server that
PREFECT_API_URL names. Nothing waits or is tried again here: a run takes its turn first (pipelines/shop/run_log.py),
which knows how long to wait for another writer and whether the run is done, and only the outbox tries letters again.
"""

import os
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from prefect import Flow, flow, task
from prefect.artifacts import create_link_artifact, create_table_artifact
from prefect.client.orchestration import SyncPrefectClient
from prefect.context import SyncClientContext
from prefect.runtime import flow_run as this_run

from models.delivery_attempts import Reply
from models.errors import DunnageError, MachineError, SettingsError
from models.timetable import Due
from pipelines.delivery import owner_letters, reports
from pipelines.delivery.reports import Sending
from pipelines.intake.importing import import_files
from pipelines.orchestration import serving
from pipelines.review import runs
from pipelines.shop import backup, machine_errors, run_log
from pipelines.shop.settings import Settings, load, now_at

# The folder whose runs a server may ask for, named where the worker is started.
SERVED = "DUNNAGE_SHOP"
# Prefect's workers and runners name the run here that a server asked them for.
ASKED = "PREFECT__FLOW_RUN_ID"


def _step(function: Callable[..., Any], name: str) -> Any:
    return task(function, name=name, cache_policy=None)


land_files = _step(import_files, "land files")
gather_month = _step(runs.review_tables, "build and gather")
draw_review = _step(runs.draw, "draw")
watch_records = _step(runs.run_watch, "build and watch")
mail_review = _step(reports.send_review, "mail the review")
mail_alarms = _step(reports.send_alarms, "mail alarms")
make_backup = _step(backup.scheduled_backup, "make a backup")
mail_waiting = _step(owner_letters.send_waiting, "mail what waits")


def mail_owner(flow: Any, flow_run: Any, state: Any) -> None:
    """Mail the owner what failed. Prefect calls it by these names."""
    settings = _served(flow_run.parameters["shop"])
    _report(
        settings, flow.name, "failed", str(state.message), is_scheduled=flow_run.parameters.get("is_scheduled", False)
    )


def _report(settings: Settings, kind: str, what: str, why: str, *, is_scheduled: bool) -> None:
    """Mail the owner, of a scheduled run once until it succeeds."""
    now = datetime.now(UTC)
    if is_scheduled and run_log.is_reported(settings, kind, now):
        return
    subject = f"{settings.shop.name}: the run {kind} {what}"
    answer = owner_letters.mail_owner(
        settings, subject, [f"The run “{kind}” {what}.", why, "`dunnage status` shows more."]
    )
    if is_scheduled and answer.reply is Reply.ACCEPTED:
        run_log.note_reported(settings, kind, now)


def _named() -> str:
    month = this_run.parameters.get("month")
    return " ".join(filter(None, [this_run.flow_name, month, "of", Path(this_run.parameters["shop"]).name]))


def _served(shop: Path) -> Settings:
    """The settings of the shop. Raises SettingsError where a server asks for another folder than the one served."""
    folder, served = Path(shop).resolve(), os.environ.get(SERVED)
    if ASKED in os.environ and (not served or Path(served).resolve() != folder):
        raise SettingsError(
            str(folder),
            "is not the folder that this worker serves",
            "the run that the server asked for; nothing was read or written",
            f"start the worker with {SERVED} naming the shop's folder, if the run is yours",
        )
    return load(folder)


@contextmanager
def _turn(settings: Settings, kind: str, *, is_scheduled: bool) -> Iterator[run_log.Turn]:
    if not is_scheduled:
        with run_log.by_hand() as taken:
            yield taken
        return
    with run_log.turn(settings, kind, datetime.now(UTC)) as taken:
        if taken.is_again:
            _report(settings, kind, "was cut off", "It is done again now.", is_scheduled=True)
        yield taken


STATED: dict[str, Any] = {"flow_run_name": _named, "validate_parameters": False, "on_failure": [mail_owner]}


@flow(name="intake", **STATED)
def intake(shop: Path, is_scheduled: bool = False) -> dict[str, int]:
    """Import every new file of the shop's inbox, then send letters that wait. Returns rows imported by outcome."""
    settings = _served(shop)
    counts = {"files": 0, "accepted": 0, "rejected": 0}
    with _turn(settings, "intake", is_scheduled=is_scheduled) as taken:
        if taken.due:
            deliveries = land_files(settings, now=now_at(settings))
            counts["files"] = len(deliveries)
            for outcome in ("accepted", "rejected"):
                counts[outcome] = sum(getattr(delivery, f"{outcome}_count") for delivery in deliveries)
            create_table_artifact(key="rows-imported", table=[dict(counts)], description="Rows imported by outcome")
    mail_waiting(settings)
    return counts


@flow(name="watch", **STATED)
def watch(shop: Path, is_scheduled: bool = False) -> int:
    """Look for alarms between reviews and mail the new ones. Returns how many stand unacknowledged."""
    settings = _served(shop)
    with _turn(settings, "watch", is_scheduled=is_scheduled) as taken:
        if not taken.due:
            return 0
        alarms = watch_records(settings)
        rows = [{str(name): str(cell) for name, cell in row.items()} for row in alarms.to_dict(orient="records")]
        create_table_artifact(key="alarms", table=rows, description="Alarms that nobody has acknowledged")
        if settings.mail.is_set:
            mail_alarms(settings, alarms)
    mail_waiting(settings)
    return len(alarms)


@flow(name="review", **STATED)
def review(shop: Path, month: str | None = None, is_scheduled: bool = False) -> str | None:
    """Build what changed and write the month's page; by schedule, mail it too. Returns the page's path."""
    settings = _served(shop)
    with _turn(settings, "review", is_scheduled=is_scheduled) as taken:
        if not taken.due:
            return None
        chosen, tables = gather_month(settings, month)
        made = draw_review(settings, chosen, tables)
        create_link_artifact(key="review-page", link=made.page.as_uri(), description=f"Review of {chosen:%Y-%m}")
        if is_scheduled and settings.mail.is_set:
            _note_letters(mail_review(settings, made))
    if is_scheduled:
        mail_waiting(settings)
    return str(made.page)


@flow(name="backup", **STATED)
def run_backup(shop: Path, is_scheduled: bool = False) -> str | None:
    """Make a backup and let go of those that are kept no longer. Returns its path."""
    settings = _served(shop)
    with _turn(settings, "backup", is_scheduled=is_scheduled) as taken:
        if not taken.due:
            return None
        made = make_backup(settings, now_at(settings))
        create_link_artifact(key="backup", link=made.backup.path.as_uri(), description="The backup, verified")
    return str(made.backup.path)


def _note_letters(sending: Sending) -> None:
    rows = [{"report": sending.report, "edition": sending.edition, "state": each.state} for each in sending.letters]
    create_table_artifact(key="letters", table=rows, description="Letters of this run")


FLOWS: dict[str, Flow[..., Any]] = {"backup": run_backup, "intake": intake, "watch": watch, "review": review}


@contextmanager
def recorded() -> Iterator[None]:
    """Flows within the block are recorded: at the server that is named, else by the orchestrator in this process."""
    if serving.ADDRESS in os.environ:
        yield
        return
    from prefect.server.api.server import create_app

    with serving.in_process(create_app(ephemeral=True), _lay_out) as transport:
        client = SyncPrefectClient(serving.IN_PROCESS, httpx_settings={"transport": transport})
        with SyncClientContext.model_construct(client=client):
            yield


async def _lay_out() -> None:
    from prefect.server.database import provide_database_interface

    await provide_database_interface().create_db()


def make_up(settings: Settings, due_runs: Sequence[Due]) -> list[Due]:
    """Do the runs that are due; a failure is reported to the owner and stops no other run. Returns what failed."""
    try:
        with recorded():
            return [due for due in due_runs if not _done(settings, due)]
    except Exception as wrong:
        return [due for due in due_runs if not _unrecorded(settings, due, wrong)]


def _done(settings: Settings, due: Due) -> bool:
    try:
        state = FLOWS[due.kind](settings.folder, is_scheduled=True, return_state=True)
    except Exception as wrong:
        return _unrecorded(settings, due, wrong)
    if not state.is_completed():
        _say(due, state.result(raise_on_failure=False))
        return False
    is_open = due in run_log.due_runs(settings, datetime.now(UTC))
    print(f"{due.kind} of {due.due_on}: {'left to the command at work on it' if is_open else 'done'}", flush=True)
    return True


def _unrecorded(settings: Settings, due: Due, wrong: Exception) -> bool:
    """The record itself cannot be written: a run's own errors are states. False, as the run is not done."""
    where = os.environ.get(serving.ADDRESS) or str(settings.folder / ".prefect")
    said = (str(wrong) or type(wrong).__name__).splitlines()[0]
    remedy = (
        "see that the server answers" if serving.ADDRESS in os.environ else "move that folder away; it is made again"
    )
    mistake = MachineError(where, f"does not take the record of the run: {said}", "this run; it is tried again", remedy)
    _report(settings, due.kind, "failed", str(mistake), is_scheduled=True)
    _say(due, mistake)
    return False


def _say(due: Due, wrong: Exception) -> None:
    """A person's mistake in three lines, a fault of the program with its traceback."""
    print(f"{due.kind} of {due.due_on}: failed", file=sys.stderr)
    mistake = wrong if isinstance(wrong, DunnageError) else machine_errors.named(wrong)
    if mistake is None:
        traceback.print_exception(wrong)
    else:
        print(f"  {mistake.where}: {mistake.what}\n  next: {mistake.next_step}", file=sys.stderr)
