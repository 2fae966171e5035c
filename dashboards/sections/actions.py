"""What to do next: the actions found, ranked, with money and confidence."""

from __future__ import annotations

import pandas as pd

from dashboards.parts import Panel, Review, Section, Sentence, say

TABLE, TOTALS = "analysis.actions", "analysis.action_totals"
ACTIONS_SHOWN = 8


def foremost(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the first actions."""
    return rows.sort_values("place").head(ACTIONS_SHOWN)


def the_rest(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all actions after the first ones."""
    return rows.sort_values("place").iloc[ACTIONS_SHOWN:]


def lead(review: Review) -> Sentence:
    """The first action, what all are worth together, and what was not looked at."""
    rows, totals = review.table(TABLE), review.table(TOTALS)
    if rows.empty:
        return ("Nothing was found that is worth doing.", *_not_looked_at(totals))
    first = say("First: {action_words}. ", TABLE, rows.sort_values("place"))
    return (*first, *_together(totals), *_not_looked_at(totals))


def _together(totals: pd.DataFrame) -> Sentence:
    if totals.empty:
        return ()
    words = "All {action_count} together: {saving_month_cents} a month, and {once_cents} once. "
    return say(words, TOTALS, totals)


def _not_looked_at(totals: pd.DataFrame) -> Sentence:
    if totals.empty or totals.iloc[0]["not_looked_at"] == "nothing":
        return ()
    return say(" Not looked at yet: {not_looked_at}.", TOTALS, totals)


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
    lead=lead,
    parts=(
        Panel(
            name="next-actions",
            title="What is worth doing, the most first",
            table=TABLE,
            columns=SHOWN,
            choose=foremost,
            when_empty="Nothing was found: no charge to dispute, no claim to send, no cheaper way to pack or charge.",
            note="As of the last day of the records. Where two actions would save the same money, they share it, so "
            "that the sum is what all together can save; beside it stands what each would save alone. Charging more "
            "counts only for the loss that the others leave.",
        ),
        Panel(
            name="more-actions",
            title="The other actions, and what each rests on",
            table=TABLE,
            columns=(*SHOWN, "parcel_count", "evidence"),
            choose=the_rest,
            when_empty="There are no more.",
            is_folded=True,
        ),
    ),
)
