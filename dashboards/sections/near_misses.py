"""What a little less would have avoided, who pays surcharges, and cartons that are larger than nominal."""

from typing import Any

import pandas as pd

from dashboards import figures, intervals
from dashboards.panels import Chooser, Frame, Panel, Section, all_columns, drawn, panel
from dashboards.pictures import Limit, Picture
from dashboards.review_tables import Review, in_month
from dashboards.sentences.grounds import named
from dashboards.sentences.surcharges import bulging
from models.shop_units import LENGTH

TOTALS, RATES, SIDES = "marts.near_miss_totals", "analysis.surcharge_rates", "analysis.learned_sides"
LENGTHS = "marts.closed_lengths"
OF_A_LIMIT = ["carrier", "carton_code", "limit_in"]
SHOWN = 12


def greatest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's greatest savings."""
    return in_month(rows, review.month).sort_values("spared_cents", ascending=False, kind="stable").head(SHOWN)


def by_item_type(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the year that ends with the month, by item type, the greatest sums first."""
    return _grouped(review, rows, "item type")


def by_carton(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the year that ends with the month, by carton, the greatest sums first."""
    return _grouped(review, rows, "carton")


def _grouped(review: Review, rows: pd.DataFrame, by: str) -> pd.DataFrame:
    month = in_month(rows, review.month)
    if month.empty:
        return month
    return (
        named(month[month["grouped_by"] == by], "group_name")
        .sort_values("amount_cents", ascending=False, kind="stable")
        .head(SHOWN)
    )


def longest_beyond(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: of the month, the carrier, carton and limit with most parcels beyond it, by length."""
    month = in_month(rows, review.month)
    if month.empty or not month["is_beyond"].astype(bool).any():
        return month.iloc[:0]
    beyond = month[month["is_beyond"].astype(bool)].groupby(OF_A_LIMIT)["parcel_count"].sum()
    is_chosen = month.set_index(OF_A_LIMIT).index == beyond.idxmax()
    return month[is_chosen].sort_values("from_length_in")


def draw_lengths(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Parcels by closed length, and the length from which the carrier charges."""
    limit = rows["limit_in"].iloc[0]
    words = f"limit {frame.units.measured(LENGTH, limit)}"
    ends = ("from_length_in", "until_length_in")
    limits = [Limit(frame.units.value("limit_in", limit), words)]
    return figures.histogram(rows, frame, "parcel_count", ends, rows["is_beyond"].astype(bool), limits)


def over_their_name(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: sides of cartons that measure more than their name, the greatest first."""
    return rows if rows.empty else bulging(rows)


NONE = ("near.none", "near.not_known")
NO_RATES = ("surcharges.none_in_year",)


def _rates(name: str, title: str, chosen: Chooser, **more: Any) -> Panel:
    return panel(
        name,
        title,
        RATES,
        "group_name carrier surcharge charged_parcel_count parcel_count surcharge_rate rate_low rate_high amount_cents "
        "avoidable_share",
        chosen,
        drawn(intervals.interval_points, ["group_name", "surcharge"], "surcharge_rate", "rate_low", "rate_high"),
        draws_shares=True,
        when_empty=NO_RATES,
        **more,
    )


SECTION = Section(
    order=42,
    chapter="carriers",
    name="near-misses",
    title="Near misses",
    lead=("near.side", "near.weight", *NONE, "near.bulge", "near.learned"),
    parts=(
        panel(
            "near-miss-savings",
            "What a little less would have avoided this month",
            TOTALS,
            all_columns(
                TOTALS,
                first="carton_code item_type carrier charge_name change change_in change_lb",
                but="shipped_month",
            ),
            greatest_first,
            drawn(figures.ranked_bars, ["carton_code", "item_type", "charge_name"], "spared_cents", apart=["change"]),
            foremost="carton_code item_type charge_name change change_in parcel_count spared_cents",
            when_empty=NONE,
            note="near.means",
        ),
        panel(
            "closed-lengths",
            "Closed length of the carton most often beyond the carrier's limit",
            LENGTHS,
            all_columns(LENGTHS, first="from_length_in until_length_in parcel_count", but="shipped_month"),
            longest_beyond,
            draw_lengths,
            is_folded=True,
        ),
        _rates(
            "surcharges-by-item-type",
            "Surcharges by item type, up to twelve months",
            by_item_type,
            note="surcharges.limits records.short_year",
        ),
        _rates(
            "surcharges-by-carton",
            "Surcharges by carton, up to twelve months",
            by_carton,
            note="records.short_year",
            is_folded=True,
        ),
        panel(
            "cartons-over-their-name",
            "Cartons that carriers bill larger than nominal",
            SIDES,
            all_columns(
                SIDES, first="carton_code cut_height_in side named_in usual_in bulge_in bulge_low_in bulge_high_in"
            ),
            over_their_name,
            when_empty="near.no_bulge",
        ),
    ),
)
