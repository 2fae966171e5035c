"""Cartons: what other cartons would have cost, and which sizes to stock."""

import pandas as pd

from dashboards import curves, due_words, figures
from dashboards.panels import Section, all_by, all_columns, drawn, every_row, month_by, panel
from dashboards.review_tables import Review, in_month
from dashboards.sentences.carton_stock import ORDERS, SUBSTITUTES, stocked
from dashboards.words import words

LADDER, BY_ITEM = "analysis.carton_ladder_months", "analysis.carton_ladder"
BEST, SIZES = "analysis.best_cartons", "analysis.assortment"
PLANS, BUNDLES = "analysis.parcel_plans", "analysis.bundles"
CURVE, SAVING, ADVICE = "analysis.assortment_curve", "analysis.assortment_saving", "analysis.purchase_advice"
SHOWN_ROWS = 12
RUN = ("cartons.not_chosen",)


def best_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the month's changes of carton that would have saved most."""
    month = in_month(rows, review.month)
    saving = month[month["saving_cents"] > 0]
    return saving.sort_values("saving_cents", ascending=False, kind="stable").head(SHOWN_ROWS)


def soonest_order_first(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: cartons whose stock is on record, the order that is due first at the head."""
    return stocked(review).sort_values(["order_by_on", "runs_out_on", "carton_code"], na_position="last")


NO_LADDER = ("cartons.none_judged",)

SECTION = Section(
    order=60,
    chapter="cartons",
    name="cartons",
    title="Cartons",
    lead=(
        *words(
            "cartons.saving cartons.no_saving cartons.none_judged cartons.judged cartons.bounded cartons.fit_open "
            "cartons.chosen cartons.not_chosen"
        ),
        *due_words.CARTONS,
        *words("stock.order_dearer stock.order_never stock.order_too_late stock.not_lately stock.next_order"),
    ),
    parts=(
        panel(
            "carton-ladder",
            "Carriage and cartons, from what was spent down to made to measure",
            LADDER,
            all_columns(LADDER, but="shipped_month rung"),
            month_by("rung"),
            drawn(figures.ranked_bars, ["ladder_step"], "ladder_cents"),
            when_empty=NO_LADDER,
            note="cartons.ladder_means cartons.weight_as_sent cartons.tare_counted cartons.void_counted "
            "cartons.void_unstated",
        ),
        panel(
            "best-cartons",
            "Changes of carton that would have saved most",
            BEST,
            all_columns(BEST, but="shipped_month item_type"),
            best_first,
            drawn(figures.ranked_bars, ["contents", "best_carton_code"], "saving_cents", apart=["packing_method"]),
            foremost="contents carton_code best_carton_code is_cut parcel_count saving_cents",
            when_empty="cartons.none_cheaper cartons.none_judged",
            note="cartons.best_means",
        ),
        panel(
            "carton-ladder-items",
            "The same steps by item type",
            BY_ITEM,
            all_columns(BY_ITEM, but="shipped_month rung"),
            month_by("item_type rung"),
            when_empty=NO_LADDER,
            is_folded=True,
        ),
        panel(
            "bundles",
            "Pieces wrapped together",
            BUNDLES,
            all_columns(BUNDLES),
            every_row,
            note="bundles.stated bundles.learned bundles.mean",
            is_folded=True,
        ),
        panel(
            "carton-orders",
            "Stock of cartons, and when to order",
            ORDERS,
            "carton_code order_state stock_left on_hand counted_on packed_since_count last_used_on next_use "
            "runs_out_on lead_time_days reorder_at_count order_by_on order_count order_unit_cents order_cents "
            "storage_month_cents order_months order_keep_cents order_pays_months",
            soonest_order_first,
            foremost="carton_code order_state stock_left next_use runs_out_on order_by_on order_count order_cents",
            note="stock.order_long stock.order_kept stock.order_unstated stock.order_pays stock.none_dated "
            "stock.undated stock.unnamed stock.by_season stock.by_recent_weeks stock.means",
        ),
        panel(
            "carton-substitutes",
            "What stands in for cartons that have run out, or whose next order lasts longer than a year",
            SUBSTITUTES,
            all_columns(SUBSTITUTES),
            every_row,
            note="stock.substitute stock.substitute_cheaper stock.no_substitute stock.substitutes_mean",
        ),
        panel(
            "carton-curve",
            "What the demand costs a month with so many sizes in stock",
            CURVE,
            all_columns(CURVE),
            every_row,
            drawn(curves.steps, "size_count", "monthly_cents"),
            when_empty=RUN,
            note="cartons.curve_means",
        ),
        panel(
            "carton-sizes",
            "Sizes to stock",
            SIZES,
            all_columns(SIZES, but="spent_cents best_cents"),
            all_by("-saving_year_cents"),
            when_empty=RUN,
            note="cartons.size_price",
        ),
        panel(
            "carton-saving",
            "What sizes chosen in this way save for each parcel, also on months they were not chosen on",
            SAVING,
            all_columns(SAVING),
            every_row,
            when_empty=RUN,
            note="cartons.saving_means",
        ),
        panel(
            "carton-advice",
            "What to buy, keep and use up",
            ADVICE,
            "size_code advice monthly_use stock_left stock_months order_count order_unit_cents order_cents "
            "saving_year_cents leftover_cents",
            all_by("-saving_year_cents"),
            when_empty=RUN,
            note="stock.no_use",
        ),
        panel(
            "carton-plans",
            "Parcels of one sale joined, parcels of several pieces split",
            PLANS,
            all_columns(PLANS),
            all_by("-plan_saving_cents", SHOWN_ROWS),
            when_empty=("cartons.no_plans", *RUN),
            note="cartons.plans_means",
        ),
    ),
)
