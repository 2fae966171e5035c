"""Trials at the bench: how they stand, what they found, and which are worth starting."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, of_rows, where
from dashboards.sentences.grounds import are_absent
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


def _has_no_offer(records: Records) -> bool:
    return records.has(PROPOSALS) and records.table(PROPOSALS).empty


def _not_followed(records: Records) -> Rows:
    """Trials in which so many parcels were packed otherwise that the difference is hidden."""
    rows = records.table(TRIALS)
    return rows[rows["followed_share"] < 0.8]


def _offered(reason: str) -> RowsOf:
    return kept(PROPOSALS, lambda found: (found["needed_days"] <= LONGEST_DAYS) & (found["trial_reason"] == reason))


ENTRIES = (
    of_rows(
        TRIALS,
        "trials.running",
        f"{NAMED}: running since {{started_on}}, at the latest until {{planned_end_on}}; {COUNTED}.",
        _in_state(RUNNING, TOO_EARLY, NO_DIFFERENCE, NOT_SETTLED),
    ),
    of_rows(
        TRIALS,
        "trials.less",
        f"{NAMED}: ended on {{judged_on}}, {{other_method}} breaks less. {FOUND}; {COUNTED}. Pack {{item_type}} with "
        "{other_method}, where it pays.",
        _in_state(ENDED, BREAKS_LESS),
    ),
    of_rows(
        TRIALS,
        "trials.more",
        f"{NAMED}: ended on {{judged_on}}, {{other_method}} breaks more. {FOUND}; {COUNTED}. Go back to "
        "{usual_method}.",
        _in_state(ENDED, BREAKS_MORE),
    ),
    of_rows(
        TRIALS,
        "trials.no_difference",
        f"{NAMED}: ended, and no difference was seen that comes near the target of {{expected_ratio}}. {FOUND}; "
        f"{COUNTED}. Use the cheaper one.",
        _in_state(ENDED, NO_DIFFERENCE),
    ),
    of_rows(
        TRIALS,
        "trials.not_settled",
        f"{NAMED}: ended, and the parcels were too few to tell; {COUNTED}.",
        _in_state(ENDED, TOO_EARLY, NOT_SETTLED),
    ),
    of_rows(
        TRIALS,
        "trials.unassigned",
        "{trial_id}: left out {unassigned_count:parcel/parcels} of {item_type} without an assignment. The bench list "
        "names the method of each sale.",
        kept(TRIALS, lambda rows: rows["unassigned_count"] > 0),
    ),
    of_rows(
        TRIALS,
        "trials.not_followed",
        "{trial_id}: {followed_share} of the assigned parcels were packed as assigned. The others hide the difference.",
        _not_followed,
    ),
    where(
        "trials.none",
        "No trial is logged. `dunnage trial start` starts one.",
        lambda records: records.has(TRIALS) and records.table(TRIALS).empty,
    ),
    of_rows(
        PROPOSALS,
        "trials.offer_not_proven",
        "{item_type}: try {other_method} against {usual_method} on {needed_parcel_count:parcel/parcels}, about "
        "{needed_days:day/days} at last year's volume. That shows whether it halves damage.",
        _offered(NOT_PROVEN),
    ),
    of_rows(
        PROPOSALS,
        "trials.offer_seldom",
        "{item_type}: {other_method} was seldom or never used on it and would pay if it halved damage. A trial needs "
        "{needed_parcel_count:parcel/parcels}, about {needed_days:day/days} at last year's volume.",
        _offered(SELDOM_USED),
    ),
    of_rows(
        PROPOSALS,
        "trials.too_long",
        "{item_type}: to try {other_method} against {usual_method} would take {needed_parcel_count:parcel/parcels}, "
        "and {yearly_parcel_count} were sent in the last year. That takes longer than a year, so none is proposed.",
        kept(PROPOSALS, lambda found: (found["needed_days"] > LONGEST_DAYS) & (found["trial_reason"] == NOT_PROVEN)),
    ),
    where(
        "trials.no_offer",
        "The claims on record show no packing method that is worth a trial now.",
        lambda records: _has_no_offer(records) and not are_absent(records, "claims"),
    ),
    where(
        "trials.no_claims",
        "No claims are on record, so it is not known which packing method is worth a trial.",
        lambda records: _has_no_offer(records) and are_absent(records, "claims"),
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
