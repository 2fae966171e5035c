"""Whole invoices: those that do not add up, those that never came, and what carriers granted and still owe."""

from dashboards import due_words
from dashboards.panels import Panel, Section, all_columns, every_row, found_by
from dashboards.sentences.invoices import MISSING, OWED, TOTALS, not_adding_up, owed

SHOWN = 25


SECTION = Section(
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
            found_by(not_adding_up, most=SHOWN),
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
            found_by(owed, most=SHOWN),
            when_empty="invoices.all_received",
        ),
    ),
)
