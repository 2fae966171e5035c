"""Starting a trial at the bench: the number of parcels it needs against what the shop sends in a year."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import pandas as pd

from models.columns.trials import BY_SALE, BY_WEEK
from models.damage.trials import LEAST_WEEKS, LONGEST_DAYS, Arms, days_needed, parcels_needed
from models.errors import NotFoundError, SettingsError
from pipelines.build import trials
from pipelines.build.trials import AFFECTED, Trial
from pipelines.build.up_to_date import build_changed
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, now_at

USED = """
    select d.packing_method, d.same_parcels_rate, d.yearly_parcel_count, d.is_current
    from analysis.packing_decision as d where d.item_type = ? order by d.is_current desc, d.packing_method
"""
METHODS = "select distinct packing_method from core.packing_methods where effective_before is null order by 1"

# A shorter trial sees no month end; where weeks take turns, too few of them tell how weeks vary.
LEAST_DAYS = {BY_SALE: 28, BY_WEEK: 7 * LEAST_WEEKS}


@dataclass(frozen=True)
class Wanted:
    """A trial as it is asked for. usual_method, trial_id: empty where not stated; started_on, until: None."""

    item_type: str
    other_method: str
    usual_method: str
    started_on: date | None
    until: date | None
    by: str
    expected_ratio: float
    trial_id: str


@dataclass(frozen=True)
class Started:
    """The trial started, the parcels it needs, and the method of its first week."""

    trial: Trial
    needed: int
    first_method: str


def start(settings: Settings, wanted: Wanted) -> Started:
    """Plan a trial and add it to the log. Raises as `planned`, and SettingsError where it overlaps another."""
    with warehouse.writing(settings, "trial") as connection:
        build_changed(connection, settings)
        made = planned(connection, wanted, now_at(settings).date())
    trials.start(settings, made.trial)
    return made


def planned(connection: warehouse.Connection, wanted: Wanted, today: date) -> Started:
    """The trial with what was not stated filled in: the usual method is the one used now, it begins tomorrow and ends
    when parcels suffice. Raises NotFoundError for goods or methods without records, SettingsError where it would take
    longer than a year, or than until the last day stated."""
    used = connection.execute(USED, [wanted.item_type]).df()
    _check_methods(wanted, used, [row[0] for row in connection.execute(METHODS).fetchall()])
    usual = used[used["packing_method"] == (wanted.usual_method or used["packing_method"].iloc[0])]
    started_on = wanted.started_on or today + timedelta(days=1)
    needed, days = _size(wanted, usual.iloc[0], started_on)
    until = wanted.until or started_on + timedelta(days=max(days, LEAST_DAYS[wanted.by]) - 1)
    usual_method = str(usual["packing_method"].iloc[0])
    name = wanted.trial_id or _name(f"{wanted.item_type}-{wanted.other_method}-{started_on}")
    trial = Trial(
        *(name, wanted.item_type, usual_method, wanted.other_method, started_on, until, wanted.by),
        expected_ratio=wanted.expected_ratio,
    )
    return Started(trial, needed, Arms(name, usual_method, wanted.other_method).of_week(started_on))


def _check_methods(wanted: Wanted, used: pd.DataFrame, methods: list[str]) -> None:
    if used.empty:
        raise NotFoundError(
            f"item type {wanted.item_type!r}",
            "has no parcels of the last year with a packing method whose cost is known",
            AFFECTED,
            "look at `dunnage damage` for the item types that can be compared",
        )
    known = set(used["packing_method"])
    for method, among in ((wanted.other_method, set(methods)), (wanted.usual_method or min(known), known)):
        if method not in among:
            listed = ", ".join(sorted(among)) or "there is none"
            raise NotFoundError(f"packing method {method!r}", "is not known here", AFFECTED, f"use one of: {listed}")


def _size(wanted: Wanted, usual: pd.Series[Any], started_on: date) -> tuple[int, int]:
    """Parcels and days that the trial needs."""
    yearly = int(usual["yearly_parcel_count"])
    needed = parcels_needed(float(usual["same_parcels_rate"]), wanted.expected_ratio)
    days = days_needed(needed, yearly) if needed else None
    longest = min(LONGEST_DAYS, (wanted.until - started_on).days + 1) if wanted.until else LONGEST_DAYS
    if needed is None or days is None:
        raise _too_long(wanted, "has too small a difference to find: no number of parcels that is sent would show it")
    if days > longest:
        takes = f"at {yearly:,} a year that takes {days:,} days, more than {longest}"
        raise _too_long(wanted, f"needs {needed:,} parcels; {takes}")
    return needed, days


def _too_long(wanted: Wanted, why: str) -> SettingsError:
    return SettingsError(
        f"a trial of {wanted.other_method} on {wanted.item_type}",
        why,
        AFFECTED,
        "look for a larger difference with --expect, or leave it: too few parcels would tell nothing",
    )


def _name(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:80]
