"""Whether logged changes worked, what went up between reviews, and which claims want something done."""

from dashboards import curves, intervals
from dashboards.damage_words import JUDGED, NOT_OFFERED, OFFERED, TRIALS
from dashboards.panels import Panel, Section, all_by, drawn, every_row
from dashboards.pictures import Limit
from dashboards.sentences.changes import CHANGES
from dashboards.sentences.claims import ALARMS, CLAIMS, still_open
from dashboards.sentences.trials import PROPOSALS, within_a_year
from dashboards.sentences.trials import TRIALS as TRIALS_FOUND

WEEKS = "analysis.watched_weeks"
SHOP = "damage: all item types"
# The ratio with its limits, and the target, a hollow mark beside it.
MEASURED = ("measured_ratio", "measured_low", "measured_high", "expected_ratio")
AS_BEFORE, ALIKE = Limit(1.0, "as before"), Limit(1.0, "equal")


SECTION = Section(
    order=62,
    chapter="damage",
    name="damage-watched",
    title="Changes, alarms and claims",
    lead=("alarms.none_open", "alarms.not_watched", "alarms.open", *JUDGED),
    parts=(
        Panel(
            "damage-changes",
            "Changes made: damage after / before",
            CHANGES,
            "change_made item_types changed_on change_reason verdict measured_ratio measured_low measured_high "
            "likely_ratio likely_low likely_high expected_ratio claims_expected claims_seen has_control judged_on "
            "look_count is_final changed_again_on",
            every_row,
            drawn(intervals.interval_points, ["change_made", "item_types"], *MEASURED, [AS_BEFORE]),
            foremost="change_made item_types changed_on verdict measured_ratio measured_low measured_high likely_ratio",
            when_empty="changes.none",
            note="changes.marks",
        ),
        Panel(
            "damage-trials",
            "Trials at the bench: damage with the method tried / the usual one",
            TRIALS_FOUND,
            "trial_id item_type usual_method other_method started_on planned_end_on trial_state trial_verdict "
            "measured_ratio measured_low measured_high likely_ratio usual_parcel_count usual_claim_count "
            "tried_parcel_count tried_claim_count unassigned_count followed_share judged_on",
            every_row,
            drawn(intervals.interval_points, ["item_type", "other_method"], *MEASURED, [ALIKE]),
            foremost="item_type usual_method other_method trial_state trial_verdict measured_ratio measured_low "
            "measured_high",
            when_empty="trials.none",
            note=(*TRIALS, "trials.marks", "trials.care"),
        ),
        Panel(
            "damage-trials-offered",
            "Packing methods that a trial of less than a year could tell of",
            PROPOSALS,
            "item_type usual_method other_method trial_reason needed_parcel_count needed_days yearly_parcel_count "
            "more_packing_cents",
            lambda review, rows: within_a_year(rows),
            when_empty=NOT_OFFERED,
            note=OFFERED,
            is_folded=True,
        ),
        Panel(
            "damage-claims-due",
            "Claims to file, to ask after or to contest",
            CLAIMS,
            "claim_id parcel_id item_type carrier claim_task claim_due_on days_waiting claimed_cents paid_cents "
            "open_cents",
            lambda review, rows: still_open(rows),
            when_empty="claims.none",
            marks_overdue=True,
            note="claims.days",
        ),
        Panel(
            "damage-weeks",
            "Damage claims by week of report, watched",
            WEEKS,
            "week_on seen expected score chart_limit is_alarm",
            all_by("week_on", where=lambda rows: rows["cause"] == SHOP),
            drawn(curves.time_lines, ["score", "chart_limit"], "week_on"),
            when_empty="alarms.not_watched",
            note="alarms.means",
            is_folded=True,
        ),
        Panel(
            "damage-alarms",
            "Alarms of the weeks watched",
            ALARMS,
            "alarm_id cause chart week_on alarm_words is_acknowledged",
            every_row,
            when_empty="alarms.none alarms.not_watched",
            is_folded=True,
        ),
    ),
)
