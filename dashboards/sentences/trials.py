"""Trials at the bench: how they stand, what they found, and which are worth starting."""

from dashboards.review_tables import Records
from dashboards.sentences.decisions import DECISIONS
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, where
from dashboards.sentences.grounds import are_absent, only_if
from models.columns.trials import (
    BREAKS_LESS,
    BREAKS_MORE,
    ENDED,
    NO_DIFFERENCE,
    NOT_PROVEN,
    NOT_SETTLED,
    RUNNING,
    SELDOM_USED,
    TOO_EARLY,
)

TRIALS, PROPOSALS = "analysis.trials", "analysis.trial_proposals"
LONGEST_DAYS = 365
NAMED = "{item_type}, {other_method} against {usual_method} ({trial_id})"
COUNTED = (
    "{tried_claim_count:claim/claims} on {tried_parcel_count:parcel/parcels} with {other_method}, "
    "{usual_claim_count} on {usual_parcel_count} with {usual_method}"
)
FOUND = "Damage with {other_method} / {usual_method}: {measured_ratio} ({measured_low} to {measured_high})"


def _in_state(state: str, *verdicts: str) -> RowsOf:
    return kept(TRIALS, lambda found: (found["trial_state"] == state) & found["trial_verdict"].isin(verdicts))


def within_a_year(rows: Rows) -> Rows:
    """Trials that could tell something within a year; a longer one is refused."""
    return rows[rows["needed_days"] <= LONGEST_DAYS]


def _has_no_offer(records: Records) -> bool:
    return records.has(PROPOSALS) and records.table(PROPOSALS).empty and not are_absent(records, "claims")


def _is_costed(records: Records) -> bool:
    return len(records.table(DECISIONS)) > 0


def _not_followed(records: Records) -> Rows:
    """Trials in which so many parcels were packed otherwise that the difference is hidden."""
    rows = records.table(TRIALS)
    return rows[rows["followed_share"] < 0.8]


def _offered(reason: str) -> RowsOf:
    return kept(lambda records: within_a_year(records.table(PROPOSALS)), lambda found: found["trial_reason"] == reason)


def _none_within_a_year(records: Records) -> bool:
    found = records.table(PROPOSALS)
    return len(found) > 0 and within_a_year(found).empty


ENTRIES = (
    where(
        "trials.running",
        f"{NAMED}: from {{started_on}} until {{planned_end_on}} at the latest; so far {COUNTED}.",
        _in_state(RUNNING, TOO_EARLY, NO_DIFFERENCE, NOT_SETTLED),
    ),
    where(
        "trials.less",
        f"{NAMED}: ended; the records up to {{judged_on}} prove that {{other_method}} breaks less. {FOUND}; "
        f"by now {COUNTED}. Pack {{item_type}} with {{other_method}}, where it pays.",
        _in_state(ENDED, BREAKS_LESS),
    ),
    where(
        "trials.more",
        f"{NAMED}: ended; the records up to {{judged_on}} prove that {{other_method}} breaks more. {FOUND}; "
        f"by now {COUNTED}. Go back to {{usual_method}}.",
        _in_state(ENDED, BREAKS_MORE),
    ),
    where(
        "trials.no_difference",
        f"{NAMED}: ended. A difference is not proven, and one as large as the target of {{expected_ratio}} is ruled "
        f"out. {FOUND}; {COUNTED}. `dunnage damage` says which of the two costs less with its damage.",
        _in_state(ENDED, NO_DIFFERENCE),
    ),
    where(
        "trials.not_settled",
        f"{NAMED}: ended, and the parcels were too few to tell; {COUNTED}.",
        _in_state(ENDED, NOT_SETTLED),
    ),
    where(
        "trials.waits_for_claims",
        f"{NAMED}: ended, and not settled so far; {COUNTED}. Claims may still come; month ends are looked at "
        "until a month after {planned_end_on}.",
        _in_state(ENDED, TOO_EARLY),
    ),
    where(
        "trials.without_claims",
        f"{NAMED}: from {{started_on}} until {{planned_end_on}} at the latest. No claims are on record, so it tells "
        "nothing yet.",
        lambda records: only_if(are_absent(records, "claims"), records.table(TRIALS)),
    ),
    where(
        "trials.unassigned",
        "{trial_id}: left out {unassigned_count:parcel/parcels} of {item_type} without an assignment. The bench list "
        "names the method of each sale.",
        kept(TRIALS, lambda rows: rows["unassigned_count"] > 0),
    ),
    where(
        "trials.not_followed",
        "{trial_id}: {followed_share} of the assigned parcels were packed as assigned. The others hide the difference.",
        _not_followed,
    ),
    where(
        "trials.none", "No trial is logged. `dunnage trial start` starts one.", lambda records: records.is_empty(TRIALS)
    ),
    where(
        "trials.offer_not_proven",
        "{item_type}: try {other_method} against {usual_method} on {needed_parcel_count:parcel/parcels}, about "
        "{needed_days:day/days} at {yearly_parcel_count} a year. If it halves damage, four of five such trials show "
        "it.",
        _offered(NOT_PROVEN),
    ),
    where(
        "trials.offer_seldom",
        "{item_type}: {other_method} was seldom or never used on it and would pay if it halved damage. A trial needs "
        "{needed_parcel_count:parcel/parcels}, about {needed_days:day/days} at {yearly_parcel_count} a year.",
        _offered(SELDOM_USED),
    ),
    where(
        "trials.too_long",
        "{item_type}: a trial that finds whether {other_method} breaks half as often as {usual_method} would take "
        "{needed_parcel_count:parcel/parcels}, at {yearly_parcel_count} a year longer than a year, so none is "
        "proposed.",
        kept(PROPOSALS, lambda found: (found["needed_days"] > LONGEST_DAYS) & (found["trial_reason"] == NOT_PROVEN)),
    ),
    where(
        "trials.no_offer",
        "The claims on record show no packing method that is worth a trial now.",
        lambda records: _has_no_offer(records) and _is_costed(records),
    ),
    where(
        "trials.none_within_a_year",
        "Every trial that would be worth it takes longer than a year, so none is proposed.",
        _none_within_a_year,
    ),
    where(
        "trials.no_costs",
        "Which packing methods are usual, or what they cost, is not on record, so it is not known which other one is "
        "worth a trial.",
        lambda records: _has_no_offer(records) and records.has(DECISIONS) and not _is_costed(records),
    ),
    where(
        "trials.no_claims",
        "No claims are on record, so it is not known which packing method is worth a trial.",
        lambda records: records.has(PROPOSALS) and are_absent(records, "claims"),
    ),
    definition(
        "trials.care",
        "Never pack weaker than the rules of the carrier and of the packing's maker ask, least of all glass and heavy "
        "goods; local rules come first. What a trial may save is in no sum.",
    ),
    definition(
        "trials.marks",
        "Parcels count as they were assigned, however they were packed. The limits hold over all month ends together.",
    ),
)
