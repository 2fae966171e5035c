"""What a little less would have avoided, who pays surcharges, and cartons that are larger than nominal."""

from typing import Any

import pandas as pd

from dashboards import figures, intervals
from dashboards.panels import Frame, Panel, Section, all_columns, drawn, month_by
from dashboards.pictures import Limit, Picture
from dashboards.review_tables import Review, in_month
from dashboards.sentences.grounds import NAMELESS
from dashboards.sentences.surcharges import bulging
from models.shop_units import LENGTH

TOTALS, RATES, SIDES = "marts.near_miss_totals", "analysis.surcharge_rates", "analysis.learned_sides"
LENGTHS = "marts.closed_lengths"
OF_A_LIMIT = ["carrier", "carton_code", "limit_in"]
SHOWN = 12


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


NONE = ("near.none", "near.not_known")
NO_RATES = ("surcharges.none_in_year",)


def _rates(name: str, title: str, by: str, **more: Any) -> Panel:
    """The year that ends with the month, by item type or by carton, the greatest sums first."""
    return Panel(
        name,
        title,
        RATES,
        "group_name carrier surcharge charged_parcel_count parcel_count surcharge_rate rate_low rate_high amount_cents "
        "avoidable_share",
        month_by("-amount_cents", SHOWN, lambda rows: (rows["grouped_by"] == by) & ~rows["group_name"].isin(NAMELESS)),
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
        Panel(
            "near-miss-savings",
            "What a little less would have avoided this month",
            TOTALS,
            all_columns(
                TOTALS,
                first="carton_code item_type carrier charge_name change change_in change_lb",
                but="shipped_month",
            ),
            month_by("-spared_cents", SHOWN),
            drawn(figures.ranked_bars, ["carton_code", "item_type", "charge_name"], "spared_cents", apart=["change"]),
            foremost="carton_code item_type charge_name change change_in parcel_count spared_cents",
            when_empty=NONE,
            note="near.means",
        ),
        Panel(
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
            "item type",
            note="surcharges.limits records.short_year",
        ),
        _rates(
            "surcharges-by-carton",
            "Surcharges by carton, up to twelve months",
            "carton",
            note="records.short_year",
            is_folded=True,
        ),
        Panel(
            "cartons-over-their-name",
            "Cartons that carriers bill larger than nominal",
            SIDES,
            all_columns(
                SIDES, first="carton_code cut_height_in side named_in usual_in bulge_in bulge_low_in bulge_high_in"
            ),
            lambda review, rows: bulging(rows),
            when_empty="near.no_bulge",
        ),
    ),
)
