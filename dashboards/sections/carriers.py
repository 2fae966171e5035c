"""How often each surcharge was billed, what another service would have saved, and whole invoices in doubt or unpaid."""

import pandas as pd

from dashboards import due_words, figures, intervals
from dashboards.panels import Panel, Section, all_by, all_columns, drawn, every_row, found_by, month_by
from dashboards.review_tables import Review
from dashboards.sentences.invoices import MISSING, OWED, TOTALS, not_adding_up, owed
from dashboards.sentences.services import COVERAGE, RULES, has_a_choice

FREQUENCY = "marts.surcharge_frequency"
WORDS = "marts.charge_word_costs"

NONE = ("surcharges.none", "surcharges.none_so_far", "surcharges.not_known")

SURCHARGES = Section(
    order=40,
    chapter="carriers",
    name="surcharges",
    title="Surcharges",
    lead=("surcharges.cost_most", "surcharges.cost_most_of_few", *NONE),
    parts=(
        Panel(
            "surcharge-amounts",
            "What each surcharge came to",
            FREQUENCY,
            "surcharge carrier charged_parcel_count amount_cents",
            month_by("-amount_cents"),
            drawn(figures.ranked_bars, ["surcharge", "carrier"], "amount_cents"),
            when_empty=NONE,
        ),
        Panel(
            "surcharge-frequency",
            "Share of each carrier's parcels that were charged it",
            FREQUENCY,
            "surcharge carrier charged_parcel_count parcel_count surcharge_rate",
            month_by("-surcharge_rate"),
            drawn(figures.ranked_bars, ["surcharge", "carrier"], "surcharge_rate"),
            draws_shares=True,
            when_empty=NONE,
            note="surcharges.several",
        ),
        Panel(
            "charge-words",
            "What each word of the invoices came to",
            WORDS,
            "charge_code carrier charge_kind line_count charged_parcel_count amount_cents",
            month_by("-amount_cents"),
            when_empty="surcharges.no_line",
            is_folded=True,
        ),
    ),
)


OF_A_RULE = (
    "item_type carrier service zone_low zone_high other_carrier other_service is_advised service_month_cents "
    "parcels_per_month saving_per_parcel_cents sure_saving_cents saving_low_cents saving_high_cents more_damage_cents "
    "held_out_parcel_count week_count learned_within_cents parcel_count expected_cents other_cents saving_cents "
    "billed_parcel_count billed_cents"
)
SAVED_ON = ["item_type", "zone_low", "other_carrier", "other_service"]
SAVED = ("saving_per_parcel_cents", "saving_low_cents", "saving_high_cents")


def where_there_is_a_choice(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: all rows, where any parcel had another service."""
    known = rows if has_a_choice(review) else rows.iloc[:0]
    return known.sort_values(["other_carrier", "other_service", "parcel_count"], ascending=[True, True, False])


SERVICES = Section(
    order=43,
    chapter="carriers",
    name="services",
    title="Services and carriers",
    lead="services.saving services.none_cheaper services.none_compared services.none_advised services.more_damage",
    parts=(
        Panel(
            "service-rules",
            "Other services by goods and zones, and what they save",
            RULES,
            OF_A_RULE,
            all_by("-is_advised -service_month_cents"),
            drawn(intervals.interval_points, SAVED_ON, *SAVED),
            foremost="item_type service zone_low zone_high other_carrier other_service is_advised service_month_cents",
            note="services.means services.cautions",
        ),
        Panel(
            "service-coverage",
            "Parcels compared with each other service, and why not",
            COVERAGE,
            all_columns(COVERAGE),
            where_there_is_a_choice,
            note="services.coverage_means",
            is_folded=True,
        ),
    ),
)


MOST_LISTED = 25


INVOICES = Section(
    order=45,
    chapter="carriers",
    name="invoices",
    title="Invoices and payments",
    lead=due_words.INVOICES,
    parts=(
        Panel(
            "invoices-in-doubt",
            "Invoices whose lines do not add up to their total",
            TOTALS,
            "invoice_number carrier invoiced_on line_count stated_cents amount_cents tax_cents short_cents",
            found_by(not_adding_up, most=MOST_LISTED),
            when_empty="invoices.add_up",
            note="invoices.means",
        ),
        Panel(
            "invoices-missing",
            "Invoices that never came",
            MISSING,
            all_columns(
                MISSING, first="carrier invoice_gap missing_invoice_count missing_numbers waiting_count waiting_cents"
            ),
            every_row,
        ),
        Panel(
            "unpaid-recoveries",
            "Granted by carriers and not yet credited or paid",
            OWED,
            all_columns(OWED, first="recovery_id owed_cents granted_cents received_cents granted_on days_waiting"),
            found_by(owed, most=MOST_LISTED),
            when_empty="invoices.all_received",
        ),
    ),
)
