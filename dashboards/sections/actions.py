"""What to do next: the actions found, ranked, with money and confidence."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section

TABLE = "analysis.actions"
ACTIONS_SHOWN = 8


def foremost(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the first actions."""
    return rows.sort_values("place").head(ACTIONS_SHOWN)


def the_rest(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all actions after the first ones."""
    return rows.sort_values("place").iloc[ACTIONS_SHOWN:]


SHOWN = (
    "action_words",
    "saving_month_cents",
    "alone_month_cents",
    "once_cents",
    "confidence_words",
    "confidence",
    "go_on_with",
)

SECTION = Section(
    order=15,
    name="actions",
    title="What to do next",
    lead=(*("actions.none", "actions.none_so_far", "actions.first", "actions.together", "actions.not_looked_at"),),
    parts=(
        Panel(
            name="next-actions",
            title="What is worth doing, the most first",
            table=TABLE,
            columns=SHOWN,
            choose=foremost,
            when_empty=("actions.none", "actions.none_so_far"),
            note=("actions.means",),
        ),
        Panel(
            name="more-actions",
            title="The other actions, and what each is based on",
            table=TABLE,
            columns=(*SHOWN, "parcel_count", "evidence"),
            choose=the_rest,
            when_empty=(),
            is_folded=True,
        ),
    ),
)
