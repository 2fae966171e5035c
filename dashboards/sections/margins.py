"""The month's margin by channel, by service and by zone."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboards import figures, stacks
from dashboards.panels import Frame, Panel, Section, drawn, month_by
from dashboards.pictures import Picture
from dashboards.review_tables import Review, in_month

BINS, ZONES = "marts.margin_bins", "marts.carriage_by_zone"
BY_CHANNEL, BY_SERVICE, BY_ZONE = "marts.margin_by_channel", "marts.margin_by_service", "marts.margin_by_zone"
# Digits that a zone may have, so that 10 stands after 9.
LONGEST_ZONE = 8
SHOWN = (
    "parcel_count shipping_charged_cents shipping_refunded_cents fee_on_shipping_cents billed_cents surcharge_cents "
    "damage_net_cents margin_cents margin_per_parcel_cents"
)


def worst_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's rows, the one that lost most first. One group alone is the month, not a part of it."""
    month = in_month(rows, review.month)
    return month.sort_values("margin_cents", kind="stable") if (month["parcel_count"] > 0).sum() > 1 else month.iloc[:0]


def by_service_and_zone(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the year that ends with the month, service by service, the zone of the lowest number first."""
    month = in_month(rows, review.month)
    return month.sort_values(["carrier", "service", "zone"], key=_numbers_by_size, kind="stable")


def _numbers_by_size(names: pd.Series[Any]) -> pd.Series[Any]:
    return names.astype(str).str.zfill(LONGEST_ZONE) if names.name == "zone" else names


def draw_bins(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Parcels by what they were left with; losses are told apart."""
    is_loss = rows["from_margin_cents"] < 0
    return figures.histogram(rows, frame, "parcel_count", ("from_margin_cents", "until_margin_cents"), is_loss)


def draw_zones(rows: pd.DataFrame, frame: Frame) -> Picture:
    """What carriers billed per parcel, a row per carrier and service, a column per zone."""
    named = rows.assign(service=rows["carrier"].astype(str) + ", " + rows["service"].astype(str))
    return stacks.grid(named, frame, "service", "zone", "carriage_per_parcel_cents")


def _panel(name: str, title: str, table: str, by: tuple[str, ...], *, is_folded: bool = False) -> Panel:
    return Panel(
        name,
        title,
        table,
        f"{' '.join(by)} {SHOWN}",
        worst_first,
        drawn(figures.ranked_bars, by, "margin_cents"),
        when_empty="margin.no_parcels",
        is_folded=is_folded,
    )


SECTION = Section(
    order=35,
    chapter="money",
    name="margins",
    title="Channels, services and zones",
    lead="margin.partly_billed margin.service_lost_most margin.service_made_least margin.zone_lost_most "
    "margin.zone_made_least margin.taxed margin.taxed_back margin.groups",
    parts=(
        Panel(
            "margin-bins",
            "How many parcels were left with how much",
            BINS,
            "from_margin_cents until_margin_cents parcel_count margin_cents",
            month_by("from_margin_cents", where=lambda rows: rows["from_margin_cents"].notna()),
            draw_bins,
            when_empty="margin.no_parcels",
            note="margin.bins",
            is_folded=True,
        ),
        Panel(
            "carriage-zones",
            "Billed per parcel by service and zone, up to twelve months",
            ZONES,
            "carrier service zone parcel_count billed_cents tax_cents carriage_per_parcel_cents",
            by_service_and_zone,
            draw_zones,
            when_empty="margin.no_parcels",
            note="margin.zones_taxed records.short_year",
            is_folded=True,
        ),
        _panel("margin-channels", "Margin by channel", BY_CHANNEL, ("channel",)),
        _panel("margin-services", "Margin by service", BY_SERVICE, ("carrier", "service")),
        _panel("margin-zones", "Margin by zone", BY_ZONE, ("carrier", "zone"), is_folded=True),
    ),
)
