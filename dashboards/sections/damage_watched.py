"""Whether logged changes worked, what went up between reviews, and which claims want something done."""

from __future__ import annotations

import pandas as pd

from dashboards import curves, intervals
from dashboards.damage_words import JUDGED, OFFERS, TRIALS
from dashboards.parts import Frame, Panel, Review, Section, every_row
from dashboards.pictures import Limit, Picture
from dashboards.sentences.changes import CHANGES
from dashboards.sentences.claims import ALARMS, CLAIMS, still_open

TRIALS_FOUND, PROPOSALS = "analysis.trials", "analysis.trial_proposals"
WEEKS = "analysis.watched_weeks"
SHOP = "damage: all item types"
AS_BEFORE, ALIKE = Limit(1.0, "as before"), Limit(1.0, "equal")


def shop_weeks(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the chart of all damage claims."""
    return rows[rows["cause"] == SHOP]


def open_claims(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: claims that can still be helped, the soonest deadline first."""
    return still_open(rows)


def draw_weeks(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Where the chart stands, and where it would signal."""
    return curves.time_lines(rows, frame, ["score", "chart_limit"], "week_on")


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
        Panel(
            name="damage-changes",
            title="Changes made: damage after / before",
            table=CHANGES,
            columns=(
                *("change_made", "item_types", "changed_on", "change_reason", "verdict", "measured_ratio"),
                *("measured_low", "measured_high", "likely_ratio", "likely_low", "likely_high", "expected_ratio"),
                *("claims_expected", "claims_seen", "has_control", "judged_on", "look_count", "is_final"),
            ),
            foremost=(
                *("change_made", "item_types", "changed_on", "verdict", "measured_ratio", "measured_low"),
                *("measured_high", "likely_ratio"),
            ),
            choose=every_row,
            draw=draw_changes,
            when_empty=("changes.none",),
            note=("changes.marks",),
        ),
        Panel(
            name="damage-trials",
            title="Trials at the bench: damage with the method tried / the usual one",
            table=TRIALS_FOUND,
            columns=(
                *("trial_id", "item_type", "usual_method", "other_method", "started_on", "planned_end_on"),
                *("trial_state", "trial_verdict", "measured_ratio", "measured_low", "measured_high", "likely_ratio"),
                *("usual_parcel_count", "usual_claim_count", "tried_parcel_count", "tried_claim_count"),
                *("unassigned_count", "followed_share", "judged_on"),
            ),
            foremost=(
                *("item_type", "usual_method", "other_method", "trial_state", "trial_verdict", "measured_ratio"),
                *("measured_low", "measured_high"),
            ),
            choose=every_row,
            draw=draw_trials,
            when_empty=("trials.none",),
            note=(*TRIALS[:-1], "trials.marks", "trials.care"),
        ),
        Panel(
            name="damage-trials-offered",
            title="Packing methods that a trial could tell of",
            table=PROPOSALS,
            columns=(
                *("item_type", "usual_method", "other_method", "trial_reason", "needed_parcel_count", "needed_days"),
                *("yearly_parcel_count", "more_packing_cents"),
            ),
            choose=every_row,
            when_empty=("trials.no_claims", "trials.no_offer"),
            note=OFFERS[:-2],
            is_folded=True,
        ),
        Panel(
            name="damage-claims-due",
            title="Claims to file, to ask after or to contest",
            table=CLAIMS,
            columns=(
                *("claim_id", "parcel_id", "item_type", "carrier", "claim_task", "claim_due_on"),
                *("days_waiting", "claimed_cents", "paid_cents", "open_cents"),
            ),
            choose=open_claims,
            when_empty=("claims.none",),
            marks_overdue=True,
            note=("claims.days",),
        ),
        Panel(
            name="damage-weeks",
            title="Damage claims by week of report, watched",
            table=WEEKS,
            columns=("week_on", "seen", "expected", "score", "chart_limit", "is_alarm"),
            choose=shop_weeks,
            draw=draw_weeks,
            when_empty=("alarms.not_watched",),
            note=("alarms.means",),
            is_folded=True,
        ),
        Panel(
            name="damage-alarms",
            title="Alarms of the weeks watched",
            table=ALARMS,
            columns=("alarm_id", "cause", "chart", "week_on", "alarm_words", "is_acknowledged"),
            choose=every_row,
            when_empty=("alarms.none", "alarms.not_watched"),
            is_folded=True,
        ),
    ),
)
