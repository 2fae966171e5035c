"""The page of an announced tariff: what it would change for past parcels, in the look of a review."""

import pandas as pd

from dashboards import figures
from dashboards.panels import Drawer, Panel, Section, all_by, drawn, every_row
from dashboards.review import render_sections
from dashboards.review_tables import Review

TOTALS, ITEM_TYPES, ZONES = "comparison.totals", "comparison.by_item_type", "comparison.by_zone"
CHARGES, CROSSINGS, PARCELS = "comparison.by_charge", "comparison.crossings", "comparison.crossing_parcels"
MONEY = "before_cents after_cents change_cents"
CHANGE = f"{MONEY} change_share within_cents"
NONE = ("tariff_change.none",)
NO_CROSSING = ("tariff_change.no_crossing", *NONE)
LEARNED = ("tariff_change.learned", "tariff_change.learned_not_known")
LEARNED_TERMS = ("tariff_change.term_learned", "tariff_change.term_learned_not_known")
SHOWN = 50


def render_comparison(review: Review, tariff_code: str) -> str:
    """The page as HTML text.

    review: its tables are those of models/tables/tariff_comparison.py, its month that of the last parcel.
    """
    return render_sections(review, SECTIONS, "tariff_comparison.html", tariff_code=tariff_code)


def by_size(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, the greatest changes of either sign first."""
    return rows.sort_values("change_cents", key=abs, ascending=False, kind="stable")


def greatest(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: the rows with the greatest changes."""
    return by_size(review, rows).head(SHOWN)


def _bars(*by: str) -> Drawer:
    return drawn(figures.ranked_bars, by, "change_cents", figures.cost_change)


def _changes(name: str, title: str, table: str, columns: str, drawer: Drawer) -> Panel:
    return Panel(name, title, table, columns, all_by("-change_cents"), drawer, when_empty=NONE)


TERMS = "comparison.terms"
NONE_PRICED = ("tariff_change.none_priced",)


def render_offer(review: Review, tariff_code: str) -> str:
    """The page of an offer as HTML text; the review holds comparison.terms."""
    return render_sections(review, OFFER, "tariff_offer.html", tariff_code=tariff_code)


OFFER = (
    Section(
        order=0,
        name="offer",
        title="What each term would be worth",
        lead=("tariff_change.together", "tariff_change.together_as_alone", *LEARNED_TERMS, *NONE_PRICED),
        is_headline=True,
        parts=(
            Panel(
                "terms",
                "Change by term, each alone, and all together",
                TERMS,
                f"term changed_count parcel_count compared_count {CHANGE}",
                every_row,
                _bars("term"),
                when_empty=NONE_PRICED,
                note="tariff_change.days",
            ),
        ),
    ),
)
SECTIONS = (
    Section(
        order=0,
        name="change",
        title="What would change",
        lead=("tariff_change.compared", "tariff_change.compared_few", *LEARNED, *NONE),
        is_headline=True,
        parts=(
            Panel(
                "all-parcels",
                "All parcels looked back on",
                TOTALS,
                f"carrier first_on last_on parcel_count compared_count {CHANGE}",
                every_row,
                when_empty=NONE,
                note="tariff_change.days",
            ),
            _changes(
                "by-item-type",
                "Change by item type",
                ITEM_TYPES,
                f"item_type parcel_count {CHANGE}",
                _bars("item_type"),
            ),
            _changes("by-zone", "Change by zone", ZONES, f"zone parcel_count {CHANGE}", _bars("zone")),
            _changes(
                "by-charge",
                "Change by charge",
                CHARGES,
                f"charge_name charge_kind before_parcel_count after_parcel_count {MONEY} within_cents",
                _bars("charge_name", "charge_kind"),
            ),
        ),
    ),
    Section(
        order=1,
        name="crossings",
        title="Parcels that cross a threshold",
        lead=("tariff_change.largest_crossing", *NO_CROSSING),
        parts=(
            Panel(
                "crossings-by-item-type",
                "Surcharges newly charged, or no longer",
                CROSSINGS,
                "surcharge crossing item_type parcel_count change_cents",
                by_size,
                _bars("surcharge", "item_type"),
                when_empty=NO_CROSSING,
            ),
            Panel(
                "crossing-parcels",
                "The parcels, the largest changes first",
                PARCELS,
                "parcel_id surcharge crossing item_type zone shipped_on length_in width_in height_in "
                "scale_weight_lb change_cents",
                greatest,
                when_empty=NO_CROSSING,
                note="tariff_change.parcels",
                is_folded=True,
            ),
        ),
    ),
)
