"""What changed the margin since the month before: a bridge of steps that add up."""

import pandas as pd

from dashboards import figures
from dashboards.panels import Panel, Section, all_columns, drawn
from dashboards.review_tables import Review, in_month

TABLE = "analysis.margin_bridge"
CHANGE = "margin_step_change_cents"


def steps_of_month(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps that changed anything, in order, then their sum."""
    month = in_month(rows, review.month).sort_values("step_number")
    return month[(month[CHANGE] != 0) | month["step_number"].eq(month["step_number"].max())]


SECTION = Section(
    order=25,
    chapter="money",
    name="bridge",
    title="Changes since the month before",
    lead="bridge.no_month_before bridge.unequal bridge.few bridge.hurt_most bridge.hurt_most_one_item "
    "bridge.helped_most bridge.helped_most_one_item bridge.given bridge.compared",
    parts=(
        Panel(
            "margin-bridge",
            "From the margin of the month before to the margin of the month",
            TABLE,
            all_columns(TABLE, but="shipped_month step_number from_cents compared_share is_actionable"),
            steps_of_month,
            drawn(figures.waterfall, "bridge_step", CHANGE, "from_cents"),
            when_empty="bridge.no_month_before",
            unless="bridge.few",
            note="bridge.means",
        ),
    ),
)
