"""What was planted in the demo's records, held against the records themselves."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import Any

from tests.sample_data.shop_files import charges, truth

AS_OF = dt.date(2026, 11, 20)


def planted(topic: str) -> list[dict[str, Any]]:
    return list(truth()[topic])


def test_planted_counts() -> None:
    wanted = {
        "wrong_surcharge": 40,
        "duplicate_lines": 15,
        "wrong_zone": 10,
        "measured_again": 50,
        "corrected_sales": 25,
    }
    assert {topic: len(planted(topic)) for topic in wanted} == wanted
    codes = Counter(row["charge_code"] for row in planted("later_lines"))
    assert codes["SERVICE CREDIT"] == 12
    assert 55 <= sum(count for code, count in codes.items() if code != "SERVICE CREDIT") <= 65
    assert {row["amount_cents"] > 0 for row in planted("later_lines") if row["charge_code"] == "ADJUSTMENT"} == {
        True,
        False,
    }
    assert truth()["shop"]["sales_in_several_parcels"] > 400
    assert truth()["shop"]["parcels_of_several_lines"] > 300


def test_no_parcel_carries_two_faults() -> None:
    topics = ("wrong_surcharge", "wrong_zone", "measured_again", "fuel_on_wrong_base", "duplicate_lines")
    labels = [row["parcel_id"] for topic in topics for row in planted(topic)]
    assert len(labels) == len(set(labels))


def test_duplicates_are_the_same_line_under_another_number() -> None:
    lines = {(line["carrier"], line["invoice_number"], line["line_number"]): line for line in charges()}
    for row in planted("duplicate_lines"):
        invoice = (row["carrier"], row["invoice_number"])
        first, second = (lines[(*invoice, row[number])] for number in ("same_as", "line_number"))
        assert {**first, "line_number": 0} == {**second, "line_number": 0}
