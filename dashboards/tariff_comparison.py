"""The page of an announced tariff: what it would change for past parcels, in the look of a review."""

from __future__ import annotations

from functools import partial

import pandas as pd

from dashboards import figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, every_row, say
from dashboards.review import render

TOTALS, ITEM_TYPES, ZONES = "comparison.totals", "comparison.by_item_type", "comparison.by_zone"
CHARGES, CROSSINGS, PARCELS = "comparison.by_charge", "comparison.crossings", "comparison.crossing_parcels"
MONEY = ("before_cents", "after_cents", "change_cents")
NONE = "No parcel could be priced by both tariffs."
SHOWN = 50


def render_comparison(review: Review, tariff_code: str) -> str:
    """The page as HTML text.

    review: its tables are those of models/tables/tariff_comparison.py, its month that of the last parcel.
    """
    return render(review, SECTIONS, "tariff_comparison.html", tariff_code=tariff_code)


def lead(review: Review) -> Sentence:
    """What all parcels would cost, and that some could not be compared."""
    rows = review.table(TOTALS)
    if not rows.iloc[0]["compared_count"]:
        return (NONE,)
    return say(
        "The {compared_count} of {parcel_count} parcels of {carrier} from {first_on} to {last_on} that both tariffs "
        "price would have cost {after_cents} instead of {before_cents}: {change_cents}, {change_share}. ",
        TOTALS,
        rows,
    )


def crossing_lead(review: Review) -> Sentence:
    """The crossing that costs most."""
    rows = by_size(review, review.table(CROSSINGS))
    if rows.empty:
        return ("No parcel crosses a threshold. ",)
    return say(
        "The greatest: {surcharge}, {crossing} on {parcel_count} of {item_type}, {change_cents}. ", CROSSINGS, rows
    )


def dearest_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, the greatest rise first."""
    return rows.sort_values("change_cents", ascending=False, kind="stable")


def by_size(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, the greatest changes of either sign first."""
    return rows.sort_values("change_cents", key=abs, ascending=False, kind="stable")


def greatest(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the rows with the greatest changes."""
    return by_size(review, rows).head(SHOWN)


def draw_changes(rows: pd.DataFrame, frame: Frame, by: tuple[str, ...]) -> Figure:
    """The change, one bar per row."""
    return figures.ranked_bars(rows, frame, by, "change_cents")


SECTIONS = (
    Section(
        order=0,
        name="change",
        title="What would change",
        lead=lead,
        is_headline=True,
        parts=(
            Panel(
                name="all-parcels",
                title="All parcels looked back on",
                table=TOTALS,
                columns=("carrier", "first_on", "last_on", "parcel_count", "compared_count", *MONEY, "change_share"),
                choose=every_row,
                when_empty=NONE,
                note="Past parcels are moved by whole years of 52 weeks into the announced tariff's days, so that "
                "seasons match. Later corrections of a bill are left out on both sides.",
            ),
            Panel(
                name="by-item-type",
                title="Change by item type",
                table=ITEM_TYPES,
                columns=("item_type", "parcel_count", *MONEY, "change_share"),
                choose=dearest_first,
                draw=partial(draw_changes, by=("item_type",)),
                when_empty=NONE,
            ),
            Panel(
                name="by-zone",
                title="Change by zone",
                table=ZONES,
                columns=("zone", "parcel_count", *MONEY, "change_share"),
                choose=dearest_first,
                draw=partial(draw_changes, by=("zone",)),
                when_empty=NONE,
            ),
            Panel(
                name="by-charge",
                title="Change by charge",
                table=CHARGES,
                columns=("charge_name", "charge_kind", "before_parcel_count", "after_parcel_count", *MONEY),
                choose=dearest_first,
                draw=partial(draw_changes, by=("charge_name", "charge_kind")),
                when_empty=NONE,
            ),
        ),
    ),
    Section(
        order=1,
        name="crossings",
        title="Parcels that cross a threshold",
        lead=crossing_lead,
        parts=(
            Panel(
                name="crossings-by-item-type",
                title="Surcharges newly charged, or no longer",
                table=CROSSINGS,
                columns=("surcharge", "crossing", "item_type", "parcel_count", "change_cents"),
                choose=by_size,
                draw=partial(draw_changes, by=("surcharge", "item_type")),
                when_empty="No parcel crosses a threshold.",
            ),
            Panel(
                name="crossing-parcels",
                title="The parcels, the greatest changes first",
                table=PARCELS,
                columns=(
                    *("parcel_id", "surcharge", "crossing", "item_type", "zone", "shipped_on"),
                    *("length_in", "width_in", "height_in", "scale_weight_lb", "change_cents"),
                ),
                choose=greatest,
                when_empty="No parcel crosses a threshold.",
                note=f"At most {formats.count(SHOWN)} are shown. Sides and weights are those rated.",
                is_folded=True,
            ),
        ),
    ),
)
