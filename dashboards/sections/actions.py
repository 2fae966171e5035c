"""What to do next: the actions found, ranked, with money and confidence."""

import pandas as pd

from dashboards import intervals
from dashboards.panels import Frame, Panel, Section, all_by, drawn
from dashboards.pictures import Picture
from dashboards.review_tables import Review
from dashboards.sentences.grounds import flagged

TABLE = "analysis.actions"
ACTIONS_SHOWN = 8
LIMITS = ("month_low_cents", "month_high_cents")


def the_rest(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the actions of the sum after the first ones."""
    return flagged(rows, "is_in_sum").sort_values("place").iloc[ACTIONS_SHOWN:]


def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
    """What each action saves a month, with its interval where it has one, beside that times its chance."""
    saving = rows[rows["expected_month_cents"] != 0]
    return intervals.interval_points(
        saving, frame, ["action_words"], "saving_month_cents", *LIMITS, beside="expected_month_cents"
    )


FOREMOST = all_by("place", ACTIONS_SHOWN, "is_in_sum")
SHOWN = (
    "action_words expected_month_cents expected_once_cents saving_month_cents month_low_cents month_high_cents "
    "once_cents once_cost_cents payback_months confidence_words confidence due_on other_way other_month_cents "
    "go_on_with"
)

SECTION = Section(
    order=15,
    chapter="money",
    name="actions",
    title="What to do next",
    lead="actions.none actions.none_so_far actions.first actions.first_due actions.first_overdue "
    "actions.together actions.together_once actions.costs_once actions.apart actions.not_looked_at actions.no_sizes",
    parts=(
        Panel(
            "next-actions",
            "What is worth doing, by the money expected in a year",
            TABLE,
            SHOWN,
            FOREMOST,
            draw,
            when_empty="actions.none actions.none_so_far",
            is_filtered=False,
            marks_overdue=True,
            note="actions.means",
        ),
        Panel(
            "more-actions",
            "The other actions",
            TABLE,
            f"{SHOWN} parcel_count",
            the_rest,
            is_filtered=False,
            marks_overdue=True,
            is_folded=True,
        ),
        Panel(
            "apart-actions",
            "To try or to choose: in no sum",
            TABLE,
            "action_words saving_month_cents month_low_cents month_high_cents confidence_words confidence parcel_count "
            "go_on_with",
            all_by("place", where="-is_in_sum"),
            drawn(intervals.interval_points, ["action_words"], "saving_month_cents", *LIMITS),
            is_filtered=False,
            marks_overdue=True,
            note="actions.apart_means",
        ),
    ),
)
