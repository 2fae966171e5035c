"""What would have rejected cells read: tried, never taken where two answers would do."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from models.cells.texts import Reading
from models.column_map.corrections import corrections
from models.fields import Quantity
from models.reference import RECORDS

DAY, AMOUNT = Reading(Quantity.DATE), Reading(Quantity.MONEY, currency="USD")
WEIGHT = Reading(Quantity.WEIGHT, needs_unit=True)


def offered(name: str, reading: Reading, texts: Sequence[str], kind: str = "charges") -> list[tuple[str, bool]]:
    """The options as they would be typed, and whether nobody need choose."""
    found = corrections(name, RECORDS[kind].columns[name], reading, texts)
    return [(each.shown, each.is_ready) for each in found]


@pytest.mark.parametrize(
    ("name", "reading", "texts", "expected"),
    [
        ("invoiced_on", DAY, ["05/10/2026", "25/10/2026"], [("--date-order dmy", True)]),
        ("invoiced_on", DAY, ["10/25/2026", "05/10/2026"], [("--date-order mdy", True)]),
        ("invoiced_on", DAY, ["05/10/2026"], [("--date-order dmy", False)]),
        ("invoiced_on", DAY, ["5 Junk 2026"], []),
        ("amount_cents", AMOUNT, ["1.500"], [("--decimal .", False)]),
        ("amount_cents", AMOUNT, ["1.500", "1,500.25"], [("--decimal .", True)]),
        ("amount_cents", AMOUNT, ["1.500", "1.500,25"], [("--decimal ,", True)]),
        ("amount_cents", AMOUNT, ["n/a"], []),
        ("billed_weight_lb", WEIGHT, ["2.5"], [("--unit billed_weight_lb=lb", False)]),
        ("billed_weight_lb", WEIGHT, [""], []),
    ],
)
def test_a_correction_is_ready_only_where_one_answer_reads_all_texts(
    name: str, reading: Reading, texts: list[str], expected: list[tuple[str, bool]]
) -> None:
    assert offered(name, reading, texts) == expected


def test_a_word_that_is_no_kind_of_charge_is_asked_about_and_a_known_one_is_not() -> None:
    (asked,) = offered("charge_kind", Reading(Quantity.TEXT), ["surcharge", "Blorp"])
    assert asked[0].startswith("--word charge_kind:Blorp=") and asked[1] is False
