"""The month's margin by channel, by service and by zone."""

from __future__ import annotations

import pandas as pd

from dashboards import figures
from dashboards.parts import Drawer, Figure, Frame, Panel, Review, Section, Sentence, in_month, say

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
    """Chooser: the month's rows, the one that lost most first."""
    return in_month(rows, review.month).sort_values("margin_cents", kind="stable")


def lead(review: Review) -> Sentence:
    """Where the month's money went, by service and by zone."""
    services, zones = (worst_first(review, review.table(table)) for table in (BY_SERVICE, BY_ZONE))
    return (
        *_worst("By service: {carrier} {service}", BY_SERVICE, services),
        *_worst("By zone: {carrier} zone {zone}", BY_ZONE, zones),
    )


def _worst(words: str, table: str, rows: pd.DataFrame) -> Sentence:
    if rows.empty:
        return ()
    verb = "lost most" if rows.iloc[0]["margin_cents"] < 0 else "made least"
    return say(f"{words} {verb}, {{margin_cents}} on {{parcel_count}} parcels. ", table, rows)


def drawn_by(*names: str) -> Drawer:
    """A drawer of one bar per row, labelled by the named columns."""

    def draw(rows: pd.DataFrame, frame: Frame) -> Figure:
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
        when_empty="No parcel was shipped in this month.",
        note="A parcel counts with its own channel, service and zone. Account fees name none and stand apart.",
        is_folded=is_folded,
    )


SECTION = Section(
    order=35,
    name="margins",
    title="Margin by channel, service and zone",
    lead=lead,
    parts=(
        _panel("margin-channels", "Margin by channel", BY_CHANNEL, ("channel",)),
        _panel("margin-services", "Margin by service", BY_SERVICE, ("carrier", "service")),
        _panel("margin-zones", "Margin by zone", BY_ZONE, ("carrier", "zone"), is_folded=True),
    ),
)
