"""Whole invoices: those that do not add up, those that never came, and what carriers granted and still owe."""

import pandas as pd

from dashboards import due_words
from dashboards.panels import Section, all_columns, every_row, panel
from dashboards.review_tables import Review
from dashboards.sentences.invoices import MISSING, OWED, TOTALS, not_adding_up, owed

SHOWN = 25


def in_doubt(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: invoices whose lines do not add up, the greatest difference first."""
    return not_adding_up(review).head(SHOWN)


def longest_owed(review: Review, rows: pd.DataFrame) -> pd.DataFrame:
    """Chooser: what is owed, the longest first."""
    return owed(review).head(SHOWN)


SECTION = Section(
    order=45,
    chapter="carriers",
    name="invoices",
    title="Invoices and payments",
    lead=due_words.INVOICES,
    parts=(
        panel(
            "invoices-in-doubt",
            "Invoices whose lines do not add up to their total",
            TOTALS,
            "invoice_number carrier invoiced_on line_count stated_cents amount_cents tax_cents short_cents",
            in_doubt,
            when_empty="invoices.add_up",
            note="invoices.means",
        ),
        panel(
            "invoices-missing",
            "Invoices that never came",
            MISSING,
            all_columns(
                MISSING, first="carrier invoice_gap missing_invoice_count missing_numbers waiting_count waiting_cents"
            ),
            every_row,
        ),
        panel(
            "unpaid-recoveries",
            "Granted by carriers and not yet credited or paid",
            OWED,
            all_columns(OWED, first="recovery_id owed_cents granted_cents received_cents granted_on days_waiting"),
            longest_owed,
            when_empty="invoices.all_received",
        ),
    ),
)
