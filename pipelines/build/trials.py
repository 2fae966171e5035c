"""The shop's trials at the bench: trials.toml in its folder, one entry per trial."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, ClassVar

from pydantic import AfterValidator, Field

from models.columns.trials import ASSIGNED_BY, BY_SALE
from models.errors import NotFoundError, SettingsError
from models.settings.damage import EXPECTED_RATIO
from models.settings.types import Day, RefusedError, Section, Words, among
from models.tables import TABLES
from pipelines.build.loading import frame, load_rows
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from pipelines.shop.toml_files import stated_as
from pipelines.shop.toml_logs import Log

TABLE = "shop.trials"
AFFECTED = "trials at the bench; nothing was written"
HEAD = """\
# Trials at the bench: two packing methods for an item type, assigned by chance. `dunnage trial start` adds an entry,
# `dunnage trial end` ends one. Do not change the id, item type or methods of a trial that runs: parcels are assigned
# by them.
"""


@dataclass(frozen=True)
class Trial(Section):
    """One trial. by: what decides which method a parcel gets, of ASSIGNED_BY. ended_on: where the shop ended it."""

    affected: ClassVar[str] = AFFECTED

    id: Words
    item_type: Words
    usual_method: Words
    other_method: Words
    started_on: Day
    planned_end_on: Day
    by: Annotated[str, among(ASSIGNED_BY)] = BY_SALE
    expected_ratio: Annotated[float, Field(gt=0, lt=1)] = EXPECTED_RATIO
    ended_on: Day | None = None


def _sound(found: tuple[Trial, ...]) -> tuple[Trial, ...]:
    for number, each in enumerate(found):
        if each.id in (other.id for other in found[:number]):
            raise RefusedError(f"several entries are named {each.id}", "give each an id of its own", (number, "id"))
        if each.usual_method == each.other_method:
            raise RefusedError("tries a method against itself", "name two methods", (number, "other_method"))
        if each.planned_end_on <= each.started_on:
            raise RefusedError("ends before it begins", "state a later day", (number, "planned_end_on"))
    return found


Trials = Annotated[tuple[Trial, ...], Field(strict=False), AfterValidator(_sound)]
LOG = Log("trials.toml", HEAD, {"trial": Trials}, AFFECTED)


def logged(settings: Settings) -> list[Trial]:
    """The trials in the order of the file; none where there is no file. Raises SettingsError for a wrong entry."""
    return list(LOG.read(settings)["trial"])


def start(settings: Settings, trial: Trial) -> Trial:
    """Add a trial to the log. Raises SettingsError for a wrong entry, or where the item type is under trial by then."""
    known, where = logged(settings), str(LOG.path(settings))
    entry = {name: value for name, value in vars(trial).items() if value is not None}
    checked: Trial = stated_as(Trial, entry, f"trial {trial.id}")
    try:
        _sound((checked,))
    except RefusedError as wrong:
        raise SettingsError(f"trial {trial.id}", wrong.phrase, AFFECTED, wrong.next_step) from None
    if any(each.id == trial.id for each in known):
        raise SettingsError(where, f"has an entry named {trial.id}", AFFECTED, "choose another --id")
    for each in known:
        if each.item_type == trial.item_type and (each.ended_on or each.planned_end_on) >= trial.started_on:
            raise SettingsError(
                where,
                f"has {each.id} on {each.item_type} until {each.ended_on or each.planned_end_on}",
                AFFECTED,
                f"end it first: dunnage trial end {each.id}",
            )
    LOG.append(settings, "trial", entry)
    return checked


def end(settings: Settings, trial_id: str, ended_on: date) -> None:
    """End a trial on that day. Raises NotFoundError for an unknown one, SettingsError for a day before it began."""
    found = next((each for each in logged(settings) if each.id == trial_id), None)
    if found is None:
        listed = ", ".join(each.id for each in logged(settings))
        then = f"use one of: {listed}" if listed else "no trial is logged; `dunnage trial start` starts one"
        raise NotFoundError(f"trial {trial_id!r}", "is not known", "this command", then)
    if ended_on < found.started_on:
        began = f"began on {found.started_on}"
        raise SettingsError(f"trial {trial_id}", began, AFFECTED, "state that day or a later one")
    log = LOG.document(settings)
    for entry in log["trial"]:
        if str(entry["id"]) == trial_id:
            entry["ended_on"] = ended_on
    LOG.write(settings, log)


def load(connection: warehouse.Connection, settings: Settings) -> None:
    """Put the log into shop.trials, for the analyses and the bench list to read."""
    rows = [
        {"trial_id": each.id, "assigned_by": each.by}
        | {name: value for name, value in vars(each).items() if name not in ("id", "by")}
        for each in logged(settings)
    ]
    load_rows(connection, TABLES[TABLE], frame(TABLES[TABLE], rows))
