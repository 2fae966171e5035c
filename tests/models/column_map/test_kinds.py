"""Which kind of record a file is, and what became of sales, by what its columns hold."""

import pytest

from models.column_map import Sample, propose
from models.reference import RECORDS
from tests.models.column_map.test_proposal import best_kind


@pytest.mark.parametrize(
    "headers",
    [
        ("Name", "Department", "Extension"),
        ("Temperatur", "Feuchte", "Messstelle"),
        ("date", "kilometres", "driver", "fuel litres"),
        ("quantity", "remark"),
    ],
)
def test_a_file_that_suits_no_kind_has_none(headers: tuple[str, ...]) -> None:
    assert best_kind(Sample(headers, (("2026-01-31", "12", "x", "7")[: len(headers)],))) is None


def test_an_invoice_is_known_by_its_own_marks() -> None:
    """The number on the label, the weight billed and amounts by kind, without a word of an invoice."""
    rows = (("NL1", "12.5", "freight", "14.20", "2026-01-31"), ("NL1", "12.5", "fuel", "1.70", "2026-01-31"))
    headers = ("Tracking number", "Chargeable weight (kg)", "Charge type", "Net amount", "Date")
    assert best_kind(Sample(headers, rows)) == "charges"


STATES = ("order", "sold at", "item", "qty", "price", "postage", "Payment", "Channel note")


def test_what_became_of_sales_is_found_by_its_words() -> None:
    rows = [
        (f"S-{at}", "2026-01-31", "tripod", "1", "9.00", "1.00", word, "x")
        for at, word in enumerate(("paid", "voided", "refunded", "paid", "", "waiting"))
    ]
    found = {each.column: each for each in propose(RECORDS["sales"], Sample(STATES, tuple(rows))).pairings}
    assert found["sale_state"].source == "Payment"
    assert not found["sale_state"].is_sure
    assert found["sale_state"].values["voided"] == "cancelled"


@pytest.mark.parametrize("words", [("paid", "paid"), ("paid", "by card"), ("pole", "shade"), ("1", "2"), ("yes", "no")])
def test_other_words_are_no_states(words: tuple[str, ...]) -> None:
    rows = tuple((f"S-{at}", "2026-01-31", "tripod", "1", "9.00", "1.00", word, "") for at, word in enumerate(words))
    found = {each.column for each in propose(RECORDS["sales"], Sample(STATES, rows)).pairings}
    assert "sale_state" not in found
