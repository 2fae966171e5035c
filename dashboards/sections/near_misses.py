"""What a little less would have spared, who pays surcharges, and cartons larger than their name."""

from __future__ import annotations

import pandas as pd

from dashboards import figures, intervals
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, in_month, say

TOTALS, RATES, SIDES = "marts.near_miss_totals", "analysis.surcharge_rates", "analysis.learned_sides"
SHOWN = 12
# Half an inch over its name: a carrier that rounds to whole inches may bill one more.
LEAST_BULGE_IN = 0.5


def lead(review: Review) -> Sentence:
    """What would spare most, and the carton that measures most over its name."""
    rows = greatest_first(review, review.table(TOTALS))
    if rows.empty:
        return ("No charge of this month's parcels was within reach. ", *_bulge(review))
    change = "{change_lb}" if rows.iloc[0]["change"] == "weight" else "{change_in}"
    return (
        *say(
            f"{{item_type}} in carton {{carton_code}}: {change} less on the {{change}} would have spared "
            "{charge_name} on {parcel_count} parcels, {spared_cents} in all. ",
            TOTALS,
            rows,
        ),
        *_bulge(review),
    )


def _bulge(review: Review) -> Sentence:
    rows = over_their_name(review, review.table(SIDES))
    if rows.empty:
        return ()
    return say(
        "Carton {carton_code} measures {usual_in} on its {side} when closed, {bulge_in} over its name. ",
        SIDES,
        rows,
    )


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
    return month[month["grouped_by"] == by].sort_values("amount_cents", ascending=False, kind="stable").head(SHOWN)


def over_their_name(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: sides of cartons that measure more than their name, the greatest first."""
    if rows.empty:
        return rows
    return rows[rows["bulge_in"] >= LEAST_BULGE_IN].sort_values("bulge_in", ascending=False, kind="stable")


def draw_savings(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Savings, one bar per carton and charge."""
    return figures.ranked_bars(rows, frame, ["carton_code", "charge_name"], "spared_cents")


def draw_rates(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Share of parcels charged, one point with its limits per group and surcharge."""
    return intervals.interval_points(
        rows, frame, ["group_name", "surcharge"], "surcharge_rate", "rate_low", "rate_high"
    )


_RATE_COLUMNS = (
    *("group_name", "carrier", "surcharge", "charged_parcel_count", "parcel_count", "surcharge_rate", "rate_low"),
    *("rate_high", "amount_cents", "avoidable_share"),
)
NO_RATES = "No surcharge was billed in the twelve months that end with this one."

SECTION = Section(
    order=42,
    name="near-misses",
    title="Near misses",
    lead=lead,
    parts=(
        Panel(
            name="near-miss-savings",
            title="What a little less would have spared this month",
            table=TOTALS,
            columns=all_columns(
                TOTALS,
                first="carton_code item_type carrier charge_name change change_in change_lb",
                but="shipped_month",
            ),
            choose=greatest_first,
            draw=draw_savings,
            when_empty="No charge of this month's parcels was within reach.",
            note="By rating each parcel again with the change. A parcel counts once, with its greatest saving.",
        ),
        Panel(
            name="surcharges-by-item-type",
            title="Surcharges by item type, twelve months",
            table=RATES,
            columns=_RATE_COLUMNS,
            choose=by_item_type,
            draw=draw_rates,
            when_empty=NO_RATES,
            note="The lines are limits of 95 in 100 for the share: wide where few parcels were shipped.",
        ),
        Panel(
            name="surcharges-by-carton",
            title="Surcharges by carton, twelve months",
            table=RATES,
            columns=_RATE_COLUMNS,
            choose=by_carton,
            draw=draw_rates,
            when_empty=NO_RATES,
            is_folded=True,
        ),
        Panel(
            name="cartons-over-their-name",
            title="Cartons that carriers bill larger than their name",
            table=SIDES,
            columns=all_columns(
                SIDES, first="carton_code cut_height_in side named_in usual_in bulge_in bulge_low_in bulge_high_in"
            ),
            choose=over_their_name,
            when_empty="No carton is billed much larger than its name.",
        ),
    ),
)
