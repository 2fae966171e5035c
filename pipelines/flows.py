"""The runs as Prefect flows: the same steps, with names, retries and a record of each run. The only user of Prefect.

They run without a server (Prefect starts one for the run) and under one (PREFECT_API_URL). A scheduled run takes its
turn first (pipelines/scheduling.py), so that none is done twice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from prefect import Flow, flow, serve, task
from prefect.artifacts import create_link_artifact, create_table_artifact
from prefect.runtime import flow_run as this_run
from prefect.schedules import Cron, Schedule

from models.errors import DeliveryError, WarehouseBusyError
from models.timetable import Due, Rule
from pipelines import keeping, reports, runs, scheduling
from pipelines.intake import take_in
from pipelines.reports import Sending
from pipelines.settings import Settings, load

# A little longer than the outbox itself waits after its first attempts.
MAIL_RETRIES_SECONDS = [310.0, 910.0, 2710.0, 8110.0]
UNSCHEDULED = Due("by hand", date.min, datetime.min)


def _is_busy(asked: Any, run: Any, state: Any) -> bool:
    try:
        state.result()
    except WarehouseBusyError:
        return True
    except Exception:
        return False
    return False


def _step(function: Callable[..., Any], name: str) -> Any:
    """A task that waits for its turn where another command is writing; other mistakes fail at once."""
    return task(function, name=name, cache_policy=None, retries=60, retry_delay_seconds=20, retry_condition_fn=_is_busy)


land_files = _step(take_in, "land files")
gather_month = _step(runs.review_tables, "build and gather")
draw_review = _step(runs.draw, "draw")
watch_records = _step(runs.run_watch, "build and watch")
mail_review = _step(reports.send_review, "mail the review")
mail_alarms = _step(reports.send_alarms, "mail alarms")
make_backup = _step(keeping.scheduled_backup, "make a backup")


@task(name="mail what waits", cache_policy=None, retries=4, retry_delay_seconds=MAIL_RETRIES_SECONDS)
def mail_waiting(settings: Settings) -> int:
    """Send what is due; try again later where the server did not take it. Returns how many letters went out."""
    sending = reports.send_waiting(settings)
    if sending.waiting:
        raise DeliveryError(
            f"mail server {settings.mail.host}",
            sending.waiting[0].last_error or "takes no letters",
            f"{len(sending.waiting)} letters that wait in the outbox",
            "see `dunnage status`; they are tried again by themselves",
        )
    return len(sending.letters)


def tell_owner(flow: Any, flow_run: Any, state: Any) -> None:
    """Mail the owner what failed. Prefect calls it by these names."""
    settings = load(Path(flow_run.parameters["shop"]))
    reports.tell_owner(
        settings,
        f"{settings.shop.name}: the run {flow.name} failed",
        [f"The run “{flow_run.name}” did not finish.", str(state.message), "`dunnage status` shows what stands."],
    )


def _named() -> str:
    month = this_run.parameters.get("month")
    return " ".join(filter(None, [this_run.flow_name, month, "of", Path(this_run.parameters["shop"]).name]))


def _turn(settings: Settings, kind: str, *, is_scheduled: bool) -> AbstractContextManager[scheduling.Turn]:
    if is_scheduled:
        return scheduling.turn(settings, kind, datetime.now(UTC))
    return nullcontext(scheduling.Turn(UNSCHEDULED))


STATED: dict[str, Any] = {
    "flow_run_name": _named,
    "validate_parameters": False,
    "on_failure": [tell_owner],
    "on_crashed": [tell_owner],
}


@flow(name="intake", **STATED)
def intake(shop: Path, is_scheduled: bool = False) -> dict[str, int]:
    """Land every new file of the shop's inbox, then send letters that wait. Returns rows landed by outcome."""
    settings = load(Path(shop))
    counts = {"files": 0, "accepted": 0, "rejected": 0}
    with _turn(settings, "intake", is_scheduled=is_scheduled) as taken:
        if taken.due:
            deliveries = land_files(settings, now=runs.now_at(settings))
            counts["files"] = len(deliveries)
            for outcome in ("accepted", "rejected"):
                counts[outcome] = sum(getattr(delivery, f"{outcome}_count") for delivery in deliveries)
            create_table_artifact(key="rows-landed", table=[dict(counts)], description="Rows landed by outcome")
    mail_waiting(settings)
    return counts


@flow(name="watch", **STATED)
def watch(shop: Path, is_scheduled: bool = False) -> int:
    """Look for alarms between reviews and mail the new ones. Returns how many stand unacknowledged."""
    settings = load(Path(shop))
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
    settings = load(Path(shop))
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
def backup(shop: Path, is_scheduled: bool = False) -> str | None:
    """Make a backup and let go of those that are kept no longer. Returns its path."""
    settings = load(Path(shop))
    with _turn(settings, "backup", is_scheduled=is_scheduled) as taken:
        if not taken.due:
            return None
        made = make_backup(settings, runs.now_at(settings))
        create_link_artifact(key="backup", link=made.backup.path.as_uri(), description="The backup, verified")
    return str(made.backup.path)


def _note_letters(sending: Sending) -> None:
    rows = [{"report": sending.report, "edition": sending.edition, "state": each.state} for each in sending.letters]
    create_table_artifact(key="letters", table=rows, description="Letters of this run")


FLOWS: dict[str, Flow[..., Any]] = {"backup": backup, "intake": intake, "watch": watch, "review": review}


def deployments(settings: Settings, schedule_of: Callable[[Rule], Schedule] | None = None) -> list[Any]:
    """The runs with their schedules, by the clock of the shop's time zone."""
    zone = settings.shop.time_zone
    name = re.sub(r"[^A-Za-z0-9]+", "-", settings.shop.name).strip("-").lower() or "shop"
    return [
        FLOWS[rule.kind].to_deployment(
            name=name,
            schedules=[schedule_of(rule) if schedule_of else Cron(rule.cron, timezone=zone)],
            parameters={"shop": str(settings.folder), "is_scheduled": True},
            tags=["dunnage", rule.kind],
            description=FLOWS[rule.kind].description,
        )
        for rule in scheduling.rules(settings)
    ]


def make_up(settings: Settings, missed: Sequence[Due]) -> None:
    """Run now what a machine that slept has missed; a failure is told to the owner and stops none of the others."""
    for due in missed:
        FLOWS[due.kind](settings.folder, is_scheduled=True, return_state=True)


def serve_schedule(settings: Settings) -> None:
    """Serve the runs until stopped, one at a time: the warehouse has one writer."""
    serve(*deployments(settings), limit=1, pause_on_shutdown=False, print_starting_message=False)
