"""The total that an invoice states: known by its header in six languages, and never a row's own total."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from models.column_map import Proposal, Sample, propose
from models.reference import RECORDS

HEADERS = ("Carrier", "Invoice No.", "Line", "Invoice date", "Charge description", "Net amount")
FIRST = ("Corvane", "CV1", "1", "2026-01-05", "Freight", "18.50")
SECOND = ("Corvane", "CV1", "2", "2026-01-05", "Fuel", "1.85")
OTHER = ("Corvane", "CV2", "1", "2026-02-05", "Freight", "4.00")


def proposed(header: str, totals: Sequence[str]) -> Proposal:
    rows = tuple((*row, total) for row, total in zip((FIRST, SECOND, OTHER), totals, strict=True))
    return propose(RECORDS["charges"], Sample((*HEADERS, header), rows))


def fed_by(proposal: Proposal, header: str) -> list[str]:
    return [each.column for each in proposal.pairings if each.source == header]


@pytest.mark.parametrize(
    "header",
    [
        *("Invoice total", "Total of the invoice", "invoice_total_cents", "Document total amount"),
        *("Rechnungssumme", "Gesamtbetrag der Rechnung", "Total facture", "Montant total de la facture"),
        *("Total factura", "Importe total de la factura", "Totale fattura", "Importo totale fattura"),
        *("Total da fatura", "Montante total da fatura"),
    ],
)
def test_it_is_known_by_its_header(header: str) -> None:
    assert fed_by(proposed(header, ("20.35", "20.35", "4.00")), header) == ["invoice_total_cents"]


@pytest.mark.parametrize("header", ["Total", "Total amount", "Line total", "Gesamt", "Invoice amount"])
def test_a_total_that_does_not_name_the_invoice_is_none_of_it(header: str) -> None:
    assert "invoice_total_cents" not in fed_by(proposed(header, ("20.35", "20.35", "4.00")), header)


def test_lines_of_one_invoice_with_different_totals_are_totals_of_something_else() -> None:
    proposal = proposed("Invoice total", ("18.50", "1.85", "4.00"))
    assert fed_by(proposal, "Invoice total") == []
    assert "lines of one invoice state different totals" in "".join(proposal.notes)
