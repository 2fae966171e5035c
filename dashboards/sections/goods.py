"""What each item type cost to ship and left, goods that came back undamaged, and the parcels that lost most."""

from dashboards import figures
from dashboards.panels import Panel, Section, all_columns, drawn, month_by, this_month
from dashboards.sentences.returns import RETURNS
from models.money import columns_of

COSTS = "marts.item_type_costs"
OF_THE_SALE = " ".join(columns_of("paid"))
# Part of what carriers billed, and too small or too plain for a column of their own.
UNSHOWN = "base_cents fuel_cents tax_cents credit_cents unmapped_cents"


ITEM_TYPES = Section(
    order=30,
    chapter="money",
    name="item-types",
    title="Cost per item type",
    lead="margin.no_parcels margin.partly_billed item_type.most_expensive item_type.lost_most item_type.made_least",
    parts=(
        Panel(
            "item-type-costs",
            "All costs of shipping for one piece",
            COSTS,
            all_columns(
                COSTS,
                first="item_type parcel_count piece_count billed_cents",
                but=f"shipped_month {UNSHOWN} {OF_THE_SALE} margin_cents margin_per_parcel_cents",
            ),
            month_by("-cost_per_piece_cents", where=lambda rows: rows["cost_per_piece_cents"].notna()),
            drawn(figures.ranked_bars, ["item_type"], "cost_per_piece_cents"),
            when_empty="margin.no_parcels item_type.cost_not_known",
            note="margin.surcharges_are_billed",
        ),
        Panel(
            "item-type-margins",
            "Profit or loss by item type",
            COSTS,
            "item_type parcel_count shipping_charged_cents shipping_refunded_cents allowance_cents "
            "fee_on_shipping_cents margin_cents margin_per_parcel_cents",
            month_by("margin_cents"),
            drawn(figures.ranked_bars, ["item_type"], "margin_cents"),
            foremost="item_type parcel_count shipping_charged_cents margin_cents margin_per_parcel_cents",
            when_empty="margin.no_parcels",
            note="margin.account_row",
        ),
    ),
)


RETURNED = Section(
    order=36,
    chapter="money",
    name="returns",
    title="Returns",
    lead=("returns.month", "returns.way_back", "returns.worth", "returns.no_cost", "returns.unsold"),
    parts=(
        Panel(
            "returns-of-month",
            "Goods of the month's parcels that came back undamaged",
            RETURNS,
            all_columns(RETURNS, but="shipped_month"),
            this_month,
            drawn(figures.ranked_bars, ["return_id"], "depreciation_cents"),
            when_empty="returns.none",
            note="returns.means",
        ),
    ),
)


WORST = "marts.worst_parcels"

PARCELS = Section(
    order=80,
    chapter="money",
    name="parcels",
    title="Parcels that lost most",
    lead=("margin.partly_billed", "margin.how_to_read_parcels"),
    parts=(
        Panel(
            "worst-parcels",
            "Parcels with the lowest margin",
            WORST,
            all_columns(WORST, but="shipped_month place channel"),
            month_by("place"),
            when_empty="margin.no_parcels",
        ),
    ),
)
