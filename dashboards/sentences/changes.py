"""Logged changes and their verdicts."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, where
from dashboards.sentences.grounds import are_absent, only_if
from models.columns.changes import BAD_MONTH, CLAIM, NO_EFFECT, NOT_SETTLED, NOT_STATED, TOO_EARLY, WORKED, WORSE, WORST
from models.settings.damage import LEAST_EXPECTED

CHANGES = "analysis.change_judgements"


def _with_claims(records: Records) -> Rows:
    return only_if(not are_absent(records, "claims"), records.table(CHANGES))


MEASURED = kept(CHANGES, lambda rows: rows["measured_ratio"].notna())
CHANGED_AGAIN = kept(MEASURED, lambda rows: rows["changed_again_on"].notna())


def _verdict(verdict: str) -> RowsOf:
    return kept(MEASURED, lambda rows: rows["verdict"] == verdict)


def _led_by(*reasons: str) -> RowsOf:
    return kept(MEASURED, lambda rows: rows["change_reason"].isin(reasons))


def _too_early(*, is_of_few: bool, is_to_the_end: bool | None = None) -> RowsOf:
    """Verdicts that more may settle. is_to_the_end: whether only claims still to come can, since the goods were changed
    again."""
    found = kept(_verdict(TOO_EARLY), lambda rows: (rows["claims_expected"] < LEAST_EXPECTED) == is_of_few)
    if is_to_the_end is None:
        return found
    return kept(found, lambda rows: rows["changed_again_on"].notna() == is_to_the_end)


CHANGE = "{change_made} ({item_types}, from {changed_on}): {verdict}."
WHY: dict[str, tuple[RowsOf, str]] = {
    "changes.worked": (_verdict(WORKED), "The whole interval lies below one"),
    "changes.worse": (_verdict(WORSE), "The whole interval lies above one"),
    "changes.no_effect": (_verdict(NO_EFFECT), "The interval holds one but not the target"),
    "changes.too_early": (
        _too_early(is_of_few=False, is_to_the_end=False),
        "The interval holds both one and the target; the next month end may tell",
    ),
    "changes.too_early_to_the_end": (
        _too_early(is_of_few=False, is_to_the_end=True),
        "The interval holds both one and the target; only claims still to come on the parcels sent before the next "
        "change can tell more",
    ),
    "changes.not_settled": (
        _verdict(NOT_SETTLED),
        "After {planned_look_count:month/months} the interval holds both one and the target; that was the last look",
    ),
}
LIKELY = "Adjusted for how few claims there are, damage is {likely_ratio} of before ({likely_low} to {likely_high})."

ENTRIES = (
    *(
        where(
            id,
            f"{CHANGE} Damage after / before: {{measured_ratio}} ({{measured_low}} to {{measured_high}}) on "
            f"{{judged_on}}, from {{claims_seen:claim/claims}} after the change; target {{expected_ratio}}. {why}. "
            f"{LIKELY}",
            rows,
        )
        for id, (rows, why) in WHY.items()
    ),
    where(
        "changes.too_early_few",
        f"{CHANGE} At the old rate {{claims_expected:claim/claims}} would be expected after the change by "
        f"{{judged_on}}, which is too few; {{claims_seen:was/were}} reported.",
        _too_early(is_of_few=True),
    ),
    where(
        "changes.left_out",
        "{change_made} ({item_types}): a {change_reason} led to it, so the three months before are left out.",
        _led_by(BAD_MONTH, CLAIM),
    ),
    where(
        "changes.drawn",
        "{change_made} ({item_types}): the worst of several gets better by itself, so what was before is drawn towards "
        "the other item types.",
        _led_by(WORST),
    ),
    where(
        "changes.no_reason",
        "{change_made} ({item_types}): what led to it is not stated, so it is judged as if the goods had been chosen "
        'for a bad record. If it was planned, write because = "planned" into its entry of decisions.toml.',
        _led_by(NOT_STATED),
    ),
    where(
        "changes.no_control",
        "{change_made} ({item_types}): no item type was left alone to compare with, so what a season or a carrier did "
        "to all goods is in these figures.",
        kept(MEASURED, lambda rows: rows["has_control"].eq(False)),
    ),
    where(
        "changes.changed_again",
        "{change_made} ({item_types}): changed again on {changed_again_on}; parcels sent from then on do not count.",
        CHANGED_AGAIN,
    ),
    where(
        "changes.not_measured",
        "{change_made} ({item_types}, from {changed_on}): nothing can be measured. It takes parcels of these goods "
        "that count from before the change, and others sent since.",
        kept(_with_claims, lambda rows: rows["measured_ratio"].isna()),
    ),
    where(
        "changes.without_claims",
        "{change_made} ({item_types}, from {changed_on}): no claims are on record, so nothing can be measured.",
        lambda records: only_if(are_absent(records, "claims"), records.table(CHANGES)),
    ),
    where(
        "changes.none",
        "No change is logged. `dunnage decide` logs one, and its effect is judged here.",
        lambda records: records.is_empty(CHANGES),
    ),
    definition(
        "changes.marks",
        "Solid: measured, against item types left alone where there are some. Hollow: target. Each month end looks "
        "once, for two years; the limits are wide enough for all of these looks together, and wrong in less than one "
        "change of twenty. The first one that lies on one side of no change gives the verdict.",
    ),
)
