"""Goods that came back undamaged: both ways, what they lost, and how long they could not be sold."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Frame, Panel, Section, all_columns, this_month
from dashboards.pictures import Picture
from dashboards.sentences.returns import RETURNS


def draw_returns(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Worth lost, one bar per return."""
    return figures.ranked_bars(rows, frame, ["return_id"], "depreciation_cents")


SECTION = Section(
    order=36,
    chapter="money",
    name="returns",
    title="Returns",
    lead=("returns.month", "returns.unsold"),
    parts=(
        Panel(
            name="returns-of-month",
            title="Goods of the month's parcels that came back undamaged",
            table=RETURNS,
            columns=all_columns(RETURNS, but="shipped_month"),
            choose=this_month,
            draw=draw_returns,
            when_empty=("returns.none",),
            note=("returns.means",),
        ),
    ),
)
