"""Whether logged changes worked, what went up between reviews, and which claims want something done."""

import pandas as pd

from dashboards import curves, intervals
from dashboards.damage_words import JUDGED, NOT_OFFERED, OFFERED, TRIALS
from dashboards.panels import Frame, Section, drawn, every_row, panel
from dashboards.pictures import Limit, Picture
from dashboards.review_tables import Review
from dashboards.sentences.changes import CHANGES
from dashboards.sentences.claims import ALARMS, CLAIMS, still_open
from dashboards.sentences.trials import PROPOSALS, within_a_year
from dashboards.sentences.trials import TRIALS as TRIALS_FOUND

WEEKS = "analysis.watched_weeks"
SHOP = "damage: all item types"
AS_BEFORE, ALIKE = Limit(1.0, "as before"), Limit(1.0, "equal")


def shop_weeks(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the chart of all damage claims."""
    return rows[rows["cause"] == SHOP]


def offered(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the trials that may be started."""
    return within_a_year(rows)


def draw_changes(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Damage after / before with its limits, the target as a hollow mark."""
    by, limits = ["change_made", "item_types"], ("measured_low", "measured_high")
    return intervals.interval_points(rows, frame, by, "measured_ratio", *limits, "expected_ratio", [AS_BEFORE])


def draw_trials(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Damage with the method tried / the usual one, with limits, the target as a hollow mark."""
    by, limits = ["item_type", "other_method"], ("measured_low", "measured_high")
    return intervals.interval_points(rows, frame, by, "measured_ratio", *limits, "expected_ratio", [ALIKE])


SECTION = Section(
    order=62,
    chapter="damage",
    name="damage-watched",
    title="Changes, alarms and claims",
    lead=("alarms.none_open", "alarms.not_watched", "alarms.open", *JUDGED),
    parts=(
        panel(
            "damage-changes",
            "Changes made: damage after / before",
            CHANGES,
            "change_made item_types changed_on change_reason verdict measured_ratio measured_low measured_high "
            "likely_ratio likely_low likely_high expected_ratio claims_expected claims_seen has_control judged_on "
            "look_count is_final changed_again_on",
            every_row,
            draw_changes,
            foremost="change_made item_types changed_on verdict measured_ratio measured_low measured_high likely_ratio",
            when_empty="changes.none",
            note="changes.marks",
        ),
        panel(
            "damage-trials",
            "Trials at the bench: damage with the method tried / the usual one",
            TRIALS_FOUND,
            "trial_id item_type usual_method other_method started_on planned_end_on trial_state trial_verdict "
            "measured_ratio measured_low measured_high likely_ratio usual_parcel_count usual_claim_count "
            "tried_parcel_count tried_claim_count unassigned_count followed_share judged_on",
            every_row,
            draw_trials,
            foremost="item_type usual_method other_method trial_state trial_verdict measured_ratio measured_low "
            "measured_high",
            when_empty="trials.none",
            note=(*TRIALS, "trials.marks", "trials.care"),
        ),
        panel(
            "damage-trials-offered",
            "Packing methods that a trial of less than a year could tell of",
            PROPOSALS,
            "item_type usual_method other_method trial_reason needed_parcel_count needed_days yearly_parcel_count "
            "more_packing_cents",
            offered,
            when_empty=NOT_OFFERED,
            note=OFFERED,
            is_folded=True,
        ),
        panel(
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
        panel(
            "damage-weeks",
            "Damage claims by week of report, watched",
            WEEKS,
            "week_on seen expected score chart_limit is_alarm",
            shop_weeks,
            drawn(curves.time_lines, ["score", "chart_limit"], "week_on"),
            when_empty="alarms.not_watched",
            note="alarms.means",
            is_folded=True,
        ),
        panel(
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
