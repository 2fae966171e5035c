"""Cartons: what other cartons would have cost, and which sizes to stock."""

from __future__ import annotations

import pandas as pd

from dashboards import curves, figures, formats
from dashboards.parts import Figure, Frame, Panel, Review, Section, Sentence, all_columns, every_row, in_month, say

COVERAGE, LADDER, BY_ITEM = "analysis.carton_coverage", "analysis.carton_ladder_months", "analysis.carton_ladder"
BEST, RUNS, SIZES = "analysis.best_cartons", "analysis.assortment_runs", "analysis.assortment"
PLANS = "analysis.parcel_plans"
CURVE, SAVING, ADVICE = "analysis.assortment_curve", "analysis.assortment_saving", "analysis.purchase_advice"
SHOWN_ROWS = 12
RUN = "No sizes have been chosen yet: run “dunnage cartons”."


def lead(review: Review) -> Sentence:
    """What the right cartons would have saved, on how many parcels that rests, and when sizes were last chosen."""
    return (*_from_stock(review), *_coverage(review), *_choice(review))


def _from_stock(review: Review) -> Sentence:
    rows = review.month_rows(LADDER)
    cut = rows if rows.empty else rows[rows["ladder_step"] == "cut down"]
    if cut.empty:
        return (f"No parcel of {formats.month(review.month)} could be judged. ",)
    return say("The cheapest cartons from stock, cut where that helps, would have saved {saving_cents}. ", LADDER, cut)


def _coverage(review: Review) -> Sentence:
    rows = review.month_rows(COVERAGE)
    if rows.empty:
        return ()
    text = "{considered_parcel_count} of {parcel_count} parcels were judged"
    if rows.iloc[0]["bounded_parcel_count"]:
        text += "; for {bounded_parcel_count} the goods' sides are unknown and the carton used bounds them"
    return say(f"{text}. ", COVERAGE, rows)


def _choice(review: Review) -> Sentence:
    rows = review.table(RUNS)
    if rows.empty:
        return (RUN,)
    return say("Sizes were last chosen on {made_at}: {size_count} sizes, {candidate_count} in question.", RUNS, rows)


def best_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's changes of carton that would have saved most."""
    month = in_month(rows, review.month)
    saving = month[month["saving_cents"] > 0]
    return saving.sort_values("saving_cents", ascending=False, kind="stable").head(SHOWN_ROWS)


def by_step(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps in their order."""
    return in_month(rows, review.month).sort_values("rung", kind="stable")


def by_item_and_step(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's steps, item type by item type."""
    return in_month(rows, review.month).sort_values(["item_type", "rung"], kind="stable")


def largest_saving_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: sizes by their saving for a year."""
    return rows.sort_values("saving_year_cents", ascending=False, kind="stable")


def best_plans_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: plans by what they would have saved."""
    return rows.sort_values("plan_saving_cents", ascending=False, kind="stable").head(SHOWN_ROWS)


def draw_ladder(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Cents of the month, one bar per step."""
    return figures.ranked_bars(rows, frame, ["ladder_step"], "ladder_cents")


def draw_best(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Saving, one bar per contents and better carton."""
    return figures.ranked_bars(rows, frame, ["contents", "best_carton_code"], "saving_cents")


def draw_curve(rows: pd.DataFrame, frame: Frame) -> Figure:
    """Cents a month against the number of sizes."""
    return curves.curve(rows, frame, "size_count", "monthly_cents")


NO_LADDER = "No parcel of this month has both a price by a tariff and a known need."

SECTION = Section(
    order=60,
    name="cartons",
    title="Cartons",
    lead=lead,
    parts=(
        Panel(
            name="carton-ladder",
            title="Carriage and cartons, from what was spent down to made to measure",
            table=LADDER,
            columns=all_columns(LADDER, but="shipped_month rung"),
            choose=by_step,
            draw=draw_ladder,
            when_empty=NO_LADDER,
            note="By the tariff, with the scale weight as it was: the lighter board of a smaller carton is not "
            "counted. Other cartons are reckoned as large as nine in ten of them close. “Made to measure” is a floor, "
            "not a plan.",
        ),
        Panel(
            name="best-cartons",
            title="Changes of carton that would have saved most",
            table=BEST,
            columns=all_columns(BEST, but="shipped_month item_type"),
            choose=best_first,
            draw=draw_best,
            when_empty="No other carton from stock would have been cheaper this month.",
            note="Only cartons into which the goods were placed, with the packing method's clearance. “dunnage "
            "bench-sheets” prints them for the packing bench.",
        ),
        Panel(
            name="carton-ladder-items",
            title="The same steps by item type",
            table=BY_ITEM,
            columns=all_columns(BY_ITEM, but="shipped_month rung"),
            choose=by_item_and_step,
            when_empty=NO_LADDER,
            is_folded=True,
        ),
        Panel(
            name="carton-curve",
            title="What the demand costs a month with so many sizes in stock",
            table=CURVE,
            columns=all_columns(CURVE),
            choose=every_row,
            draw=draw_curve,
            when_empty=RUN,
            note="With the cost of stocking each size. The knee lies furthest below the straight line from the fewest "
            "to the most sizes.",
        ),
        Panel(
            name="carton-sizes",
            title="Sizes to stock",
            table=SIZES,
            columns=all_columns(SIZES, but="spent_cents best_cents"),
            choose=largest_saving_first,
            when_empty=RUN,
            note="The price of a new size is read off the prices of the stocked ones by the area of board.",
        ),
        Panel(
            name="carton-saving",
            title="What the chosen sizes save for each parcel, also on months they were not chosen on",
            table=SAVING,
            columns=all_columns(SAVING),
            choose=every_row,
            when_empty=RUN,
            note="The interval is drawn over whole weeks. Without the cost of stocking the sizes.",
        ),
        Panel(
            name="carton-advice",
            title="What to buy, keep and use up",
            table=ADVICE,
            columns=(
                "size_code",
                "advice",
                "monthly_use",
                "on_hand",
                "stock_months",
                "pack_quantity",
                "order_packs",
                "order_cents",
                "saving_year_cents",
                "leftover_cents",
            ),
            choose=largest_saving_first,
            when_empty=RUN,
        ),
        Panel(
            name="carton-plans",
            title="Parcels of one sale joined, parcels of several pieces split",
            table=PLANS,
            columns=all_columns(PLANS),
            choose=best_plans_first,
            when_empty="No sale in several parcels, and no parcel of several pieces, could be judged: run “dunnage "
            "cartons”.",
            note="Carriage, carton, packing material and minutes, over all months. Joined only where a carton from "
            "stock holds the goods with the greater clearance, and the carrier takes it.",
        ),
    ),
)
