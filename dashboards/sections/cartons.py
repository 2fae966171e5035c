"""Cartons: what other cartons would have cost, and which sizes to stock."""

from dashboards import curves, due_words, figures
from dashboards.panels import Panel, Section, all_by, all_columns, drawn, every_row, found_by, month_by
from dashboards.sentences.carton_stock import ORDERS, SUBSTITUTES, stocked

LADDER, BY_ITEM = "analysis.carton_ladder_months", "analysis.carton_ladder"
BEST, SIZES = "analysis.best_cartons", "analysis.assortment"
PLANS, BUNDLES = "analysis.parcel_plans", "analysis.bundles"
CURVE, SAVING, ADVICE = "analysis.assortment_curve", "analysis.assortment_saving", "analysis.purchase_advice"
DEMANDS, GROWTH = "analysis.assortment_demands", "analysis.assortment_growth"
SHOWN_ROWS = 12
RUN = ("cartons.not_chosen",)


NO_LADDER = ("cartons.none_judged",)

SECTION = Section(
    order=60,
    chapter="cartons",
    name="cartons",
    title="Cartons",
    lead="cartons.saving cartons.no_saving cartons.none_judged cartons.judged cartons.bounded cartons.fit_open "
    f"cartons.chosen cartons.not_chosen {' '.join(due_words.CARTONS)} stock.order_dearer stock.order_never "
    "stock.order_too_late stock.not_lately stock.next_order",
    parts=(
        Panel(
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
        Panel(
            "best-cartons",
            "Changes of carton that would have saved most",
            BEST,
            all_columns(BEST, but="shipped_month item_type"),
            month_by("-saving_cents", SHOWN_ROWS, lambda rows: rows["saving_cents"] > 0),
            drawn(figures.ranked_bars, ["contents", "best_carton_code"], "saving_cents", apart=["packing_method"]),
            foremost="contents carton_code best_carton_code is_cut parcel_count saving_cents",
            when_empty="cartons.none_cheaper cartons.none_judged",
            note="cartons.best_means",
        ),
        Panel(
            "carton-ladder-items",
            "The same steps by item type",
            BY_ITEM,
            all_columns(BY_ITEM, but="shipped_month rung"),
            month_by("item_type rung"),
            when_empty=NO_LADDER,
            is_folded=True,
        ),
        Panel(
            "bundles",
            "Pieces wrapped together",
            BUNDLES,
            all_columns(BUNDLES),
            every_row,
            note="bundles.stated bundles.learned bundles.mean",
            is_folded=True,
        ),
        Panel(
            "carton-orders",
            "Stock of cartons, and when to order",
            ORDERS,
            "carton_code order_state stock_left on_hand counted_on packed_since_count last_used_on next_use "
            "runs_out_on lead_time_days reorder_at_count order_by_on order_count order_unit_cents order_cents "
            "storage_month_cents order_months order_keep_cents order_pays_months",
            found_by(stocked, "order_by_on runs_out_on carton_code"),
            foremost="carton_code order_state stock_left next_use runs_out_on order_by_on order_count order_cents",
            note="stock.order_long stock.order_kept stock.order_unstated stock.order_pays stock.none_dated "
            "stock.undated stock.unnamed stock.by_season stock.by_recent_weeks stock.means",
        ),
        Panel(
            "carton-substitutes",
            "What stands in for cartons that have run out, or whose next order lasts longer than a year",
            SUBSTITUTES,
            all_columns(SUBSTITUTES),
            every_row,
            note="stock.substitute stock.substitute_cheaper stock.no_substitute stock.substitutes_mean",
        ),
        Panel(
            "carton-curve",
            "What the demand costs a month with so many sizes in stock",
            CURVE,
            all_columns(CURVE),
            every_row,
            drawn(curves.steps, "size_count", "monthly_cents"),
            when_empty=RUN,
            note="cartons.curve_means",
        ),
        Panel(
            "carton-sizes",
            "Sizes to stock",
            SIZES,
            all_columns(SIZES, but="spent_cents best_cents"),
            all_by("-saving_year_cents"),
            when_empty=RUN,
            note="cartons.size_price",
        ),
        Panel(
            "carton-demands",
            "What the sizes to stock cost a month under each demand of the year to come",
            DEMANDS,
            all_columns(DEMANDS),
            every_row,
            when_empty=("cartons.one_demand", "cartons.growth_unknown", *RUN),
            note="cartons.demands_mean",
            is_folded=True,
        ),
        Panel(
            "carton-growth",
            "Parcels of each item type against the same months a year before",
            GROWTH,
            all_columns(GROWTH),
            all_by("-parcel_count"),
            when_empty=("cartons.growth_unknown", *RUN),
            note="cartons.growth_means",
            is_folded=True,
        ),
        Panel(
            "carton-saving",
            "What sizes chosen in this way save for each parcel, also on months they were not chosen on",
            SAVING,
            all_columns(SAVING),
            every_row,
            when_empty=RUN,
            note="cartons.saving_means",
        ),
        Panel(
            "carton-advice",
            "What to buy, keep and use up",
            ADVICE,
            "size_code advice monthly_use stock_left stock_months order_count order_unit_cents order_cents "
            "saving_year_cents leftover_cents",
            all_by("-saving_year_cents"),
            when_empty=RUN,
            note="stock.no_use",
        ),
        Panel(
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
