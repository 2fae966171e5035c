"""What the rows of a file prove of a column whose header only comes near: refunds of goods, totals of lines, days."""

from collections.abc import Sequence

import pytest

from models.column_map import Pairing, Proposal, Sample, propose
from models.reference import RECORDS

HEADERS = ("Order ID", "Paid on", "Title", "Quantity", "Item total", "Postage paid", "Refunded", "Order status")


def proposed(refunds: Sequence[str], stated: dict[str, Pairing] | None = None) -> Proposal:
    """A market's orders, with what was given back of each."""
    rows = tuple(
        (f"UK-{at}", f"{at + 3} Jun 2026", "Arched mirror", "1", "89.00", "14.00", refund, "Completed")
        for at, refund in enumerate(refunds)
    )
    return propose(RECORDS["sales"], Sample(HEADERS, rows), stated=stated)


def sources(found: Proposal) -> dict[str, str | None]:
    return {each.column: each.source for each in found.pairings}


def test_a_refund_that_mostly_exceeds_the_shipping_paid_is_none_of_shipping() -> None:
    found = proposed(["0.00", "103.00", "103.00", "14.00"])
    assert "shipping_refunded_cents" not in sources(found)
    (note,) = found.notes
    assert note.startswith('"Refunded" is left out') and 'more than "Postage paid" in 2 of 3 rows' in note


@pytest.mark.parametrize("refunds", [["0.00", "14.00", "7.50"], ["103.00", "14.00", "14.00"], ["0.00", "0.00"], [""]])
def test_a_refund_that_mostly_keeps_within_it_stays(refunds: list[str]) -> None:
    """A single row above it is rejected on import; of none nothing is known."""
    found = proposed(refunds)
    assert sources(found)["shipping_refunded_cents"] == "Refunded" and found.notes == ()


def test_what_the_user_states_stays() -> None:
    stated = {"shipping_refunded_cents": Pairing("shipping_refunded_cents", "Refunded", 1.0)}
    assert sources(proposed(["103.00", "103.00"], stated))["shipping_refunded_cents"] == "Refunded"


def test_days_that_name_their_month_answer_for_the_day_of_sale() -> None:
    (sold,) = (each for each in proposed(["0.00"]).pairings if each.column == "sold_at")
    assert (sold.source, sold.is_sure) == ("Paid on", True)


def test_totals_in_whole_pounds_are_no_numbers_of_lines() -> None:
    assert sources(proposed(["0.00", "0.00"]))["line_number"] is None
    rows = (("S-1", "1.00"), ("S-1", "2.00"))
    found = propose(RECORDS["sales"], Sample(("Order ID", "Line"), rows))
    assert sources(found)["line_number"] == "Line"
