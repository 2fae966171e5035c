"""The month's margin by channel, by service and by zone."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Drawer, Frame, Panel, Review, Section, in_month
from dashboards.pictures import Picture

BY_CHANNEL, BY_SERVICE, BY_ZONE = "marts.margin_by_channel", "marts.margin_by_service", "marts.margin_by_zone"
SHOWN = (
    "parcel_count",
    "shipping_charged_cents",
    "billed_cents",
    "surcharge_cents",
    "damage_net_cents",
    "margin_cents",
    "margin_per_parcel_cents",
)


def worst_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's rows, the one that lost most first. One group alone is the month, not a part of it."""
    month = in_month(rows, review.month)
    return month.sort_values("margin_cents", kind="stable") if (month["parcel_count"] > 0).sum() > 1 else month.iloc[:0]


def drawn_by(*names: str) -> Drawer:
    """A drawer of one bar per row, labelled by the named columns."""

    def draw(rows: pd.DataFrame, frame: Frame) -> Picture:
        return figures.ranked_bars(rows, frame, list(names), "margin_cents")

    return draw


def _panel(name: str, title: str, table: str, by: tuple[str, ...], *, is_folded: bool = False) -> Panel:
    return Panel(
        name=name,
        title=title,
        table=table,
        columns=(*by, *SHOWN),
        choose=worst_first,
        draw=drawn_by(*by),
        when_empty=("margin.no_parcels",),
        is_folded=is_folded,
    )


SECTION = Section(
    order=35,
    chapter="money",
    name="margins",
    title="Margin by channel, service and zone",
    lead=(
        *("margin.service_lost_most", "margin.service_made_least"),
        *("margin.zone_lost_most", "margin.zone_made_least", "margin.groups"),
    ),
    parts=(
        _panel("margin-channels", "Margin by channel", BY_CHANNEL, ("channel",)),
        _panel("margin-services", "Margin by service", BY_SERVICE, ("carrier", "service")),
        _panel("margin-zones", "Margin by zone", BY_ZONE, ("carrier", "zone"), is_folded=True),
    ),
)
