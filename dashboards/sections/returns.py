"""Goods that came back undamaged: both ways, what they lost, and how long they could not be sold."""

from dashboards import figures
from dashboards.panels import Panel, Section, all_columns, drawn, this_month
from dashboards.sentences.returns import RETURNS

SECTION = Section(
    order=36,
    chapter="money",
    name="returns",
    title="Returns",
    lead=("returns.month", "returns.way_back", "returns.worth", "returns.no_cost", "returns.unsold"),
    parts=(
        Panel(
            "returns-of-month",
            "Goods of the month's parcels that came back undamaged",
            RETURNS,
            all_columns(RETURNS, but="shipped_month"),
            this_month,
            drawn(figures.ranked_bars, ["return_id"], "depreciation_cents"),
            when_empty="returns.none",
            note="returns.means",
        ),
    ),
)
