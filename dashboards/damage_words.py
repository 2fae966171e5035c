"""Damage, changes and alarms on a terminal: the same sentences as on the page, line by line."""

import datetime as dt
from collections.abc import Mapping, Sequence

import pandas as pd

from dashboards import sentences
from dashboards.review_tables import Records
from dashboards.sentences import words
from dashboards.sentences.claims import ALARMS, CLAIMS, STEPS
from dashboards.sentences.damage import RATES
from dashboards.sentences.decisions import DECISIONS
from models.shop_units import Units

Tables = Mapping[str, pd.DataFrame]
LATE = words(
    "damage.claims_absent damage.lag damage.lag_counted damage.lag_assumed damage.lag_drifts damage.within "
    "damage.within_counted damage.claims_end_stated damage.claims_end_imported damage.claims_end_newest "
    "damage.claims_end_passed damage.limits decision.short_record"
)
COMPARED = words(
    "methods.reversed methods.unlike methods.alike methods.unproven methods.unproven_alone "
    "methods.entangled methods.too_few"
)
COSTS = words(
    "decision.cost_now decision.cost decision.cost_too_high decision.cost_now_without_carriage "
    "decision.cost_without_carriage decision.cost_too_high_without_carriage"
)
VERDICTS = words(
    "decision.use decision.use_sure decision.choice decision.keep decision.keep_sure decision.wait "
    "decision.wait_too_long decision.wait_not_known decision.too_close decision.one_method decision.no_method "
    "decision.no_costs"
)
CLAIMS_OPEN = words(
    "claims.step_overdue claims.step_this_week claims.step claims.step_by_records claims.file_no_window "
    "claims.file_no_day claims.ask claims.ask_no_day claims.contest"
)
JUDGED = words(
    "changes.worked changes.worse changes.no_effect changes.too_early changes.too_early_to_the_end "
    "changes.too_early_few changes.not_settled changes.not_measured changes.without_claims changes.no_control "
    "changes.changed_again changes.left_out changes.drawn changes.no_reason"
)
TRIALS = words(
    "trials.running trials.less trials.more trials.no_difference trials.not_settled trials.waits_for_claims "
    "trials.without_claims trials.unassigned trials.not_followed"
)
OFFERED = ("trials.offer_not_proven", "trials.offer_seldom", "trials.too_long")
NOT_OFFERED = ("trials.none_within_a_year", "trials.no_claims", "trials.no_costs", "trials.no_offer")
QUIET = ("alarms.none", "alarms.not_watched")


def report_lines(
    tables: Tables, units: Units, item_types: Sequence[str], made_at: dt.datetime | None = None
) -> list[str]:
    """What `dunnage damage` prints: rates, costs and the verdict of each item type, then comparisons and claims."""
    whole = Records(tables=tables, made_at=made_at)
    lines = [*sentences.lines(LATE, whole, units), ""]
    for item_type in item_types:
        lines += _item_lines(_of_item(tables, item_type), units, item_type)
    claims = {name: tables[name][tables[name]["item_type"].isin(item_types)] for name in (CLAIMS, STEPS)}
    asked = Records(tables=claims, made_at=made_at)
    return [
        *lines,
        *_titled("Methods compared for the same goods", sentences.lines(COMPARED, whole, units)),
        *_titled("Claims to act on", sentences.lines(CLAIMS_OPEN, asked, units)),
    ]


def _of_item(tables: Tables, item_type: str) -> Records:
    kept = {name: rows[rows["item_type"] == item_type] for name, rows in tables.items() if name in (RATES, DECISIONS)}
    return Records(tables={**tables, **kept})


def _item_lines(records: Records, units: Units, item_type: str) -> list[str]:
    rates, costs, verdicts = (
        sentences.lines(ids, records, units)
        for ids in (("rates.enough", "rates.none_claimed", "rates.few", "rates.no_method"), COSTS, VERDICTS)
    )
    priced = ["  what a parcel costs:", *(f"    {line}" for line in costs)] if costs else []
    return [item_type, *(f"  {line}" for line in rates), *priced, *(f"  {line}" for line in verdicts), ""]


def _titled(title: str, lines: Sequence[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines), ""] if lines else []


def judgement_lines(tables: Tables, units: Units) -> list[str]:
    """What `dunnage decide --judge` prints."""
    return sentences.lines((*JUDGED, "changes.none"), Records(tables=tables), units)


def trial_lines(tables: Tables, units: Units) -> list[str]:
    """What `dunnage trial list` prints: trials, what is worth one, and how to pack in one."""
    known = Records(tables=tables)
    ids = (*TRIALS, "trials.none", *OFFERED, *NOT_OFFERED)
    return [*sentences.lines(ids, known, units), *care_lines(units)]


def care_lines(units: Units) -> list[str]:
    """What holds for every trial."""
    return sentences.lines(("trials.care",), Records(tables={}), units)


def alarm_lines(tables: Tables, units: Units) -> list[str]:
    """What `dunnage watch` prints: each alarm under its id, or why there is none."""
    rows = tables[ALARMS]
    return _alarms(rows, units) or sentences.lines(QUIET, Records(tables=tables), units)


def _alarms(rows: pd.DataFrame, units: Units) -> list[str]:
    found = []
    for at, name in enumerate(rows["alarm_id"]):
        one = Records(tables={ALARMS: rows.iloc[[at]]})
        seen = sentences.lines(["alarms.acknowledged"], one, units)
        mark = "  (acknowledged)" if seen else ""
        found += [f"{name}{mark}\n  {line}" for line in seen or sentences.lines(["alarms.open"], one, units)]
    return found
