"""Cartons: what other cartons would have cost, and which sizes to stock."""

from __future__ import annotations

import pandas as pd

from dashboards import curves, figures
from dashboards.parts import Frame, Panel, Review, Section, all_columns, every_row, in_month
from dashboards.pictures import Picture
from dashboards.sentences.carton_stock import ORDERS, SUBSTITUTES, stocked

LADDER, BY_ITEM = "analysis.carton_ladder_months", "analysis.carton_ladder"
BEST, SIZES = "analysis.best_cartons", "analysis.assortment"
PLANS, BUNDLES = "analysis.parcel_plans", "analysis.bundles"
CURVE, SAVING, ADVICE = "analysis.assortment_curve", "analysis.assortment_saving", "analysis.purchase_advice"
SHOWN_ROWS = 12
RUN = ("cartons.not_chosen",)
# What is due, on every surface.
DUE = ("stock.out", "stock.out_undated", "stock.short", "stock.order_now", "stock.count_again")


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


def soonest_order_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: cartons whose stock is on record, the order that is due first at the head."""
    return stocked(review).sort_values(["order_by_on", "runs_out_on", "carton_code"], na_position="last")


def draw_ladder(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Cents of the month, one bar per step."""
    return figures.ranked_bars(rows, frame, ["ladder_step"], "ladder_cents")


def draw_best(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Saving, one bar per contents and better carton."""
    return figures.ranked_bars(rows, frame, ["contents", "best_carton_code"], "saving_cents", apart=["packing_method"])


def draw_curve(rows: pd.DataFrame, frame: Frame) -> Picture:
    """Cents a month against the number of sizes."""
    return curves.steps(rows, frame, "size_count", "monthly_cents")


NO_LADDER = ("cartons.none_judged",)

SECTION = Section(
    order=60,
    chapter="cartons",
    name="cartons",
    title="Cartons",
    lead=(
        *("cartons.saving", "cartons.no_saving", "cartons.none_judged", "cartons.judged", "cartons.bounded"),
        "cartons.fit_open",
        *(
            "cartons.chosen",
            "cartons.not_chosen",
            *DUE,
            "stock.order_dearer",
            "stock.order_never",
            "stock.order_too_late",
            "stock.not_lately",
            "stock.next_order",
        ),
    ),
    parts=(
        Panel(
            name="carton-ladder",
            title="Carriage and cartons, from what was spent down to made to measure",
            table=LADDER,
            columns=all_columns(LADDER, but="shipped_month rung"),
            choose=by_step,
            draw=draw_ladder,
            when_empty=NO_LADDER,
            note=(
                *("cartons.ladder_means", "cartons.weight_as_sent", "cartons.tare_counted", "cartons.void_counted"),
                "cartons.void_unstated",
            ),
        ),
        Panel(
            name="best-cartons",
            title="Changes of carton that would have saved most",
            table=BEST,
            columns=all_columns(BEST, but="shipped_month item_type"),
            foremost=("contents", "carton_code", "best_carton_code", "is_cut", "parcel_count", "saving_cents"),
            choose=best_first,
            draw=draw_best,
            when_empty=("cartons.none_cheaper", "cartons.none_judged"),
            note=("cartons.best_means",),
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
            name="bundles",
            title="Pieces wrapped together",
            table=BUNDLES,
            columns=all_columns(BUNDLES),
            choose=every_row,
            when_empty=(),
            note=("bundles.stated", "bundles.learned", "bundles.mean"),
            is_folded=True,
        ),
        Panel(
            name="carton-orders",
            title="Stock of cartons, and when to order",
            table=ORDERS,
            columns=(
                *("carton_code", "order_state", "stock_left", "on_hand", "counted_on", "packed_since_count"),
                *("last_used_on", "next_use", "runs_out_on", "lead_time_days", "reorder_at_count", "order_by_on"),
                *("order_count", "order_unit_cents", "order_cents", "storage_month_cents", "order_months"),
                *("order_keep_cents", "order_pays_months"),
            ),
            foremost=(
                *("carton_code", "order_state", "stock_left", "next_use", "runs_out_on", "order_by_on"),
                *("order_count", "order_cents"),
            ),
            choose=soonest_order_first,
            when_empty=(),
            note=(
                *("stock.order_long", "stock.order_kept", "stock.order_unstated", "stock.order_pays"),
                *("stock.none_dated", "stock.undated", "stock.unnamed", "stock.by_season", "stock.by_recent_weeks"),
                "stock.means",
            ),
        ),
        Panel(
            name="carton-substitutes",
            title="What stands in for cartons that have run out, or whose next order lasts longer than a year",
            table=SUBSTITUTES,
            columns=all_columns(SUBSTITUTES),
            choose=every_row,
            when_empty=(),
            note=(
                *("stock.substitute", "stock.substitute_cheaper", "stock.no_substitute"),
                "stock.substitutes_mean",
            ),
        ),
        Panel(
            name="carton-curve",
            title="What the demand costs a month with so many sizes in stock",
            table=CURVE,
            columns=all_columns(CURVE),
            choose=every_row,
            draw=draw_curve,
            when_empty=RUN,
            note=("cartons.curve_means",),
        ),
        Panel(
            name="carton-sizes",
            title="Sizes to stock",
            table=SIZES,
            columns=all_columns(SIZES, but="spent_cents best_cents"),
            choose=largest_saving_first,
            when_empty=RUN,
            note=("cartons.size_price",),
        ),
        Panel(
            name="carton-saving",
            title="What sizes chosen in this way save for each parcel, also on months they were not chosen on",
            table=SAVING,
            columns=all_columns(SAVING),
            choose=every_row,
            when_empty=RUN,
            note=("cartons.saving_means",),
        ),
        Panel(
            name="carton-advice",
            title="What to buy, keep and use up",
            table=ADVICE,
            columns=(
                "size_code",
                "advice",
                "monthly_use",
                "stock_left",
                "stock_months",
                "order_count",
                "order_unit_cents",
                "order_cents",
                "saving_year_cents",
                "leftover_cents",
            ),
            choose=largest_saving_first,
            when_empty=RUN,
            note=("stock.no_use",),
        ),
        Panel(
            name="carton-plans",
            title="Parcels of one sale joined, parcels of several pieces split",
            table=PLANS,
            columns=all_columns(PLANS),
            choose=best_plans_first,
            when_empty=("cartons.no_plans", *RUN),
            note=("cartons.plans_means",),
        ),
    ),
)
