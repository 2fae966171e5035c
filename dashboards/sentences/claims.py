"""Alarms, and claims that want something done."""

from collections.abc import Callable

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, kept, of_records, where
from dashboards.sentences.grounds import after_this_week, are_there, flagged, overdue, this_week, undated

ALARMS, CLAIMS = "analysis.alarms", "marts.claim_deadlines"
STEPS = "analysis.claim_steps"
WEEKS = "analysis.watched_weeks"
Days = Callable[[Rows, str, Records], Rows]


def still_open(rows: Rows) -> Rows:
    """Claims that can still be helped: those past the carrier's window are left out. The soonest deadline first."""
    if rows.empty:
        return rows
    kept = rows[~(rows["is_in_time"].astype("boolean").eq(False).fillna(False).to_numpy(bool))]
    return kept.sort_values(["days_left", "open_cents"], ascending=[True, False], na_position="last", kind="stable")


@of_records
def _task(records: Records, task: str) -> Rows:
    found = still_open(records.table(CLAIMS))
    return found[found["claim_task"] == task]


@of_records
def _steps(records: Records, days: Days) -> Rows:
    """Open claims by their next step, those left out whose deadline had passed when the records end."""
    found = flagged(records.table(STEPS), "is_in_time")
    return days(found.sort_values(["step_due_on", "claim_id"]), "step_due_on", records)


def _is_watched(records: Records) -> bool:
    return len(records.table(WEEKS)) > 0 and records.has(ALARMS)


CLAIM = "{claim_id} ({item_type})"
STEP = "{claim_id} ({item_type}, {carrier})"
ALARM = "{cause}, week of {week_on}: {alarm_words}."
ENTRIES = (
    # What happened, in the cell of a table: without a full stop.
    where(
        "alarm.claims",
        "{span_claim_count:claim was/claims were} reported within {span_week_count:week/weeks}, where "
        "{span_expected_claims} were to be expected",
        lambda records: records.table(ALARMS),
    ),
    where(
        "alarm.share",
        "{seen_share} of the week's parcels were charged it, where {expected_share} was to be expected of its goods",
        lambda records: records.table(ALARMS),
    ),
    where(
        "alarm.cost",
        "carriage for each parcel of the week was {excess_share} above what its goods usually cost",
        lambda records: records.table(ALARMS),
    ),
    where("alarms.open", ALARM, lambda records: flagged(records.table(ALARMS), "-is_acknowledged")),
    where("alarms.acknowledged", ALARM, lambda records: flagged(records.table(ALARMS), "is_acknowledged")),
    where(
        "alarms.none_open",
        "No alarm waits to be acknowledged.",
        lambda records: _is_watched(records) and flagged(records.table(ALARMS), "-is_acknowledged").empty,
    ),
    where(
        "alarms.none",
        "No alarm: claims, surcharges and carriage are within their limits.",
        lambda records: _is_watched(records) and records.table(ALARMS).empty,
    ),
    where(
        "alarms.not_watched",
        "The records are too few to know what is usual, so nothing is watched yet.",
        lambda records: records.is_empty(WEEKS),
    ),
    definition("alarms.means", "The chart adds up claims beyond what was expected. An alarm is given above the limit."),
    where(
        "claims.step_overdue",
        f"{STEP}: overdue, the deadline for {{claim_step}} was {{step_due_on}}; {{open_cents}}.",
        _steps(overdue),
    ),
    where(
        "claims.step_this_week",
        f"{STEP}: due this week, {{claim_step}} by {{step_due_on}}; {{open_cents}}.",
        _steps(this_week),
    ),
    where("claims.step", f"{STEP}: {{claim_step}} by {{step_due_on}}; {{open_cents}}.", _steps(after_this_week)),
    where(
        "claims.step_by_records", f"{STEP}: {{claim_step}}, deadline {{step_due_on}}; {{open_cents}}.", _steps(undated)
    ),
    where(
        "claims.file_no_window",
        f"{CLAIM}: file with {{carrier}}; no tariff says until when; {{open_cents}}.",
        kept(_task("file"), lambda rows: rows["claim_due_on"].isna() & rows["shipped_on"].notna()),
    ),
    where(
        "claims.file_no_day",
        f"{CLAIM}: file with {{carrier}}; no record says when it was shipped, so the deadline is not known; "
        "{open_cents}.",
        kept(_task("file"), lambda rows: rows["shipped_on"].isna()),
    ),
    where(
        "claims.ask",
        f"{CLAIM}: ask {{carrier}} for an answer; the records have none for {{days_waiting:day/days}}; {{open_cents}}.",
        kept(_task("ask"), lambda rows: rows["days_waiting"].notna()),
    ),
    where(
        "claims.ask_no_day",
        f"{CLAIM}: ask {{carrier}} for an answer; no record says since when it waits; {{open_cents}}.",
        kept(_task("ask"), lambda rows: rows["days_waiting"].isna()),
    ),
    where("claims.contest", f"{CLAIM}: {{carrier}} paid {{paid_cents}} of {{claimed_cents}}.", _task("contest")),
    where(
        "claims.none",
        "No claim is waiting to be filed, asked after or contested.",
        lambda records: (
            records.has(CLAIMS) and still_open(records.table(CLAIMS)).empty and are_there(records, "claims")
        ),
    ),
    definition(
        "claims.days",
        "Claims past the carrier's window on the last day of the records are left out; days waiting end with that day.",
    ),
)
