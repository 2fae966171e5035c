"""Whether logged changes worked, what went up between reviews, and which claims want something done."""

from __future__ import annotations

import pandas as pd

from dashboards import damage_words, intervals, stacks
from dashboards.damage_words import ALARMS, CHANGES, CLAIMS
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, every_row

WEEKS = "analysis.watched_weeks"
SHOP = "damage: all item types"


def lead(review: Review) -> Sentence:
    """Alarms that nobody has seen yet, then the verdicts on changes."""
    alarms = tuple(damage_words.each_alarm(_unseen(review.table(ALARMS))))
    reported = (*alarms, *damage_words.each_judgement(review.table(CHANGES)))
    quiet = () if alarms else ("No alarm waits to be seen. ",)
    return (*quiet, *(part for sentence in reported for part in sentence))


def _unseen(alarms: pd.DataFrame) -> pd.DataFrame:
    return alarms[~alarms["is_acknowledged"].astype(bool)] if len(alarms) else alarms


def shop_weeks(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the chart of all damage claims."""
    return rows[rows["cause"] == SHOP]


def open_claims(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: claims that can still be helped, the soonest deadline first."""
    return damage_words.still_open(rows)


def draw_weeks(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Where the chart stands, and where it would signal."""
    return stacks.week_lines(rows, frame, ["score", "chart_limit"])


def draw_changes(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Damage after / before with its limits, the target as a hollow mark."""
    by, limits = ["change_made", "item_types"], ("measured_low", "measured_high")
    return intervals.interval_points(rows, frame, by, "measured_ratio", *limits, beside="expected_ratio")


SECTION = Section(
    order=62,
    name="damage-watched",
    title="Changes, alarms and claims",
    lead=lead,
    parts=(
        Panel(
            name="damage-changes",
            title="Changes made: damage after / before",
            table=CHANGES,
            columns=(
                *("change_made", "item_types", "changed_on", "verdict", "measured_ratio", "measured_low"),
                *("measured_high", "expected_ratio", "claims_expected", "claims_seen", "has_control"),
                *("judged_on", "is_final"),
            ),
            choose=every_row,
            draw=draw_changes,
            when_empty="No change is logged. `dunnage decide` logs one, and its effect is judged here.",
            note="Solid: measured against item types left alone. Hollow: target. A final verdict stands.",
        ),
        Panel(
            name="damage-claims-due",
            title="Claims to file, to ask after or to contest",
            table=CLAIMS,
            columns=(
                *("claim_id", "parcel_id", "item_type", "carrier", "claim_task", "claim_due_on", "days_left"),
                *("days_waiting", "claimed_cents", "paid_cents", "open_cents"),
            ),
            choose=open_claims,
            when_empty="No claim is waiting to be filed, asked after or contested.",
            note="Claims past the carrier's window are left out. Days are counted from the last day of the records.",
        ),
        Panel(
            name="damage-weeks",
            title="Damage claims by week of report, watched",
            table=WEEKS,
            columns=("week_on", "seen", "expected", "score", "chart_limit", "is_alarm"),
            choose=shop_weeks,
            draw=draw_weeks,
            when_empty="Too few claims are on record to know what is usual, so nothing is watched yet.",
            note="The chart adds up claims beyond what was expected. An alarm is given above the limit.",
            is_folded=True,
        ),
        Panel(
            name="damage-alarms",
            title="Alarms of the weeks watched",
            table=ALARMS,
            columns=("alarm_id", "cause", "chart", "week_on", "alarm_words", "is_acknowledged"),
            choose=every_row,
            when_empty="No alarm: claims, surcharges and carriage are within what was to be expected.",
            is_folded=True,
        ),
    ),
)
