"""Cells as people write them: what is read, with its value; what is refused, with its reason."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.cells.texts import Reading, read_cell, units_of
from models.fields import Quantity
from tests.sampling import tries

Q = Quantity

READ: list[tuple[str, Reading, Any]] = [
    # Numbers, by decimal mark.
    ("1,5", Reading(Q.WEIGHT, decimal=","), 1.5),
    ("1.234,5", Reading(Q.WEIGHT, decimal=","), 1234.5),
    ("1 234,50", Reading(Q.MONEY, decimal=","), 123450),
    ("1 234,50", Reading(Q.MONEY, decimal=","), 123450),
    ("1'234.50", Reading(Q.MONEY, decimal="."), 123450),
    ("1,234", Reading(Q.COUNT, decimal="."), 1234),
    ("1.234", Reading(Q.COUNT, decimal=","), 1234),
    ("1,234,567", Reading(Q.COUNT), 1234567),
    ("1,234.5", Reading(Q.NUMBER), 1234.5),
    (".5", Reading(Q.NUMBER), 0.5),
    ("+5", Reading(Q.NUMBER), 5.0),
    ("−5", Reading(Q.NUMBER), -5.0),
    ("1e3", Reading(Q.NUMBER), 1000.0),
    ("12.0", Reading(Q.COUNT), 12),
    ("12 pcs", Reading(Q.COUNT), 12),
    ("00012", Reading(Q.COUNT), 12),
    # No mark stated: what can be read in one way only is read.
    ("12.5", Reading(Q.NUMBER), 12.5),
    ("12,5", Reading(Q.WEIGHT), 12.5),
    ("12,50", Reading(Q.MONEY), 1250),
    ("0.500", Reading(Q.NUMBER), 0.5),
    ("0,123", Reading(Q.NUMBER), 0.123),
    ("1234.567", Reading(Q.NUMBER), 1234.567),
    ("1.125e3", Reading(Q.NUMBER), 1125.0),
    ("1 500", Reading(Q.COUNT), 1500),
    ("1.234,5", Reading(Q.NUMBER), 1234.5),
    # Groups of two only where the shop's currency is at home with them.
    ("12,34,567.50", Reading(Q.MONEY, currency="INR"), 123456750),
    ("1,23,456", Reading(Q.COUNT, decimal=".", currency="INR"), 123456),
    # What a program prints of a binary number: 33.3 and 19.99, added up.
    ("33.300000000000004", Reading(Q.MONEY), 3330),
    ("19.989999999999998", Reading(Q.MONEY, decimal="."), 1999),
    ("33,300000000000004", Reading(Q.MONEY, decimal=","), 3330),
    ("2.0000000000000004", Reading(Q.COUNT), 2),
    # Money.
    ("$1,234.50", Reading(Q.MONEY), 123450),
    ("(12.30)", Reading(Q.MONEY), -1230),
    ("($12.30)", Reading(Q.MONEY), -1230),
    ("-$12.30", Reading(Q.MONEY), -1230),
    ("$-12.30", Reading(Q.MONEY), -1230),
    ("12.30-", Reading(Q.MONEY), -1230),
    ("5 USD", Reading(Q.MONEY), 500),
    ("usd 5", Reading(Q.MONEY), 500),
    ("18.500", Reading(Q.MONEY, decimal="."), 1850),
    ("1.234,50 €", Reading(Q.MONEY, decimal=",", currency="EUR"), 123450),
    ("250", Reading(Q.MONEY, unit="cents"), 250),
    ("$2.50", Reading(Q.MONEY, unit="cents"), 250),
    ("610.00", Reading(Q.MONEY, unit="per 100"), 610),
    ("$42.50", Reading(Q.MONEY, unit="per 100"), 43),
    ("1,275.49", Reading(Q.MONEY, unit="per 1000", decimal="."), 128),
    ("7.20", Reading(Q.MONEY, unit="per 12"), 60),
    ("950", Reading(Q.MONEY, unit="per 10", currency="JPY"), 95),
    ("250 ¢", Reading(Q.MONEY), 250),
    # Lengths, weights and times; a cell's own unit wins over the map's.
    ('48"', Reading(Q.LENGTH, unit="cm"), 48.0),
    ('49 1/2"', Reading(Q.LENGTH), 49.5),
    ("49-1/2 in.", Reading(Q.LENGTH), 49.5),
    ("49½", Reading(Q.LENGTH), 49.5),
    ("4 ft 2 in", Reading(Q.LENGTH), 50.0),
    ("4'2\"", Reading(Q.LENGTH), 50.0),
    ("4′ 2½″", Reading(Q.LENGTH), 50.5),
    ("1220 mm", Reading(Q.LENGTH), 48.031496),
    ("121,92", Reading(Q.LENGTH, unit="cm", decimal=","), 48.0),
    ("3 lb 4 oz", Reading(Q.WEIGHT), 3.25),
    ("11 LBS, 4 OZ.", Reading(Q.WEIGHT), 11.25),
    ("52 oz", Reading(Q.WEIGHT, unit="kg"), 3.25),
    ("12 kg", Reading(Q.WEIGHT), 26.455471),
    ("3\u202f662,084", Reading(Q.WEIGHT), 3662.084),
    ("1\u00a0250.5 lb", Reading(Q.WEIGHT), 1250.5),
    ("1\u202f234 mm", Reading(Q.LENGTH, decimal=","), 48.582677),
    ("47 1/2", Reading(Q.LENGTH), 47.5),
    ("0.5", Reading(Q.MINUTES, unit="h"), 30.0),
    ("1 h 5 min", Reading(Q.MINUTES), 65.0),
    # Dates and times.
    ("31/12/2025", Reading(Q.DATE), date(2025, 12, 31)),
    ("12/31/2025", Reading(Q.DATE), date(2025, 12, 31)),
    ("05/05/2025", Reading(Q.DATE), date(2025, 5, 5)),
    ("03/04/2025", Reading(Q.DATE, date_order="dmy"), date(2025, 4, 3)),
    ("03/04/2025", Reading(Q.DATE, date_order="mdy"), date(2025, 3, 4)),
    ("3.4.25", Reading(Q.DATE, date_order="dmy"), date(2025, 4, 3)),
    ("25-04-03", Reading(Q.DATE, date_order="ymd"), date(2025, 4, 3)),
    ("2025-4-3", Reading(Q.DATE), date(2025, 4, 3)),
    ("20250403", Reading(Q.DATE), date(2025, 4, 3)),
    ("3 April 2025", Reading(Q.DATE), date(2025, 4, 3)),
    ("Apr 3, 2025", Reading(Q.DATE), date(2025, 4, 3)),
    ("29-Aug-14", Reading(Q.DATE), date(2014, 8, 29)),
    ("29-Aug-14", Reading(Q.DATE, date_order="mdy"), date(2014, 8, 29)),
    ("Aug 29, 14", Reading(Q.DATE), date(2014, 8, 29)),
    ("29/AUG/2014", Reading(Q.DATE), date(2014, 8, 29)),
    ("3 Sept. 2025", Reading(Q.DATE), date(2025, 9, 3)),
    ("1er f\u00e9vr. 2025", Reading(Q.DATE), date(2025, 2, 1)),
    ("3 de mar\u00e7o de 2025", Reading(Q.DATE), date(2025, 3, 3)),
    ("3. Ma\u0308rz 2025", Reading(Q.DATE), date(2025, 3, 3)),
    ("2025-04-03 00:00:00", Reading(Q.DATE), date(2025, 4, 3)),
    ("31/12/2025 14:05", Reading(Q.INSTANT, date_order="dmy"), datetime(2025, 12, 31, 14, 5)),
    ("Dec 31, 2025 2:05 PM", Reading(Q.INSTANT), datetime(2025, 12, 31, 14, 5)),
    ("2025-12-31 12:00 am", Reading(Q.INSTANT), datetime(2025, 12, 31)),
    # An instant with an offset is told in the shop's zone: New York is four hours behind in October, five in December.
    ("2025-10-05T14:25:00Z", Reading(Q.INSTANT, time_zone="America/New_York"), datetime(2025, 10, 5, 10, 25)),
    ("2025-12-05T02:25:00+02:00", Reading(Q.INSTANT, time_zone="America/New_York"), datetime(2025, 12, 4, 19, 25)),
    ("2025-12-05T02:25:00+0200", Reading(Q.DATE, time_zone="America/New_York"), date(2025, 12, 4)),
    # Yes and no.
    ("Yes", Reading(Q.FLAG), True),
    ("n", Reading(Q.FLAG), False),
    ("TRUE", Reading(Q.FLAG), True),
    ("0", Reading(Q.FLAG), False),
    ("  ", Reading(Q.WEIGHT), None),
]


@pytest.mark.parametrize(("text", "reading", "value"), READ, ids=[f"{text}-{one.quantity}" for text, one, _ in READ])
def test_what_is_read(text: str, reading: Reading, value: object) -> None:
    cell = read_cell(text, reading)
    assert (cell.value, cell.reason) == (value, None)
    assert type(cell.value) is type(value)


REFUSED: list[tuple[str, Reading, str]] = [
    ("1,234", Reading(Q.MONEY), "comma"),
    ("1,234", Reading(Q.WEIGHT), "comma"),
    ("1.500", Reading(Q.NUMBER), "point"),
    ("1.500", Reading(Q.MONEY), "point"),
    ("1.500", Reading(Q.COUNT), "point"),
    ("-1.500", Reading(Q.WEIGHT), "point"),
    ("1.500 kg", Reading(Q.WEIGHT), "point"),
    ("1.500 lb 4 oz", Reading(Q.WEIGHT), "point"),
    ("$1,500", Reading(Q.MONEY), "comma"),
    ("1.500", Reading(Q.MONEY, currency="KWD"), "point"),
    ("0,123", Reading(Q.NUMBER, decimal="."), "not a number"),
    ("0.123.456", Reading(Q.NUMBER, decimal=","), "not a number"),
    ("012,345", Reading(Q.NUMBER, decimal="."), "not a number"),
    ("1,234 567", Reading(Q.NUMBER, decimal="."), "not a number"),
    ("12,34", Reading(Q.NUMBER, decimal="."), "not a number"),
    ("1,500e3", Reading(Q.NUMBER, decimal="."), "not a number"),
    ("33.305", Reading(Q.MONEY, decimal="."), "more than 2 decimals"),
    ("33.305000000000004", Reading(Q.MONEY), "more than 2 decimals"),
    ("1,5", Reading(Q.WEIGHT, decimal="."), "not a number"),
    ("1.5", Reading(Q.WEIGHT, decimal=","), "not a number"),
    ("1,23,456", Reading(Q.COUNT, decimal="."), "not a number"),
    ("1_000", Reading(Q.COUNT), "not a number"),
    ("0x10", Reading(Q.COUNT), "not a number"),
    ("١٢", Reading(Q.COUNT), "another script"),
    ("12.5", Reading(Q.COUNT), "not a whole number"),
    ("nan", Reading(Q.NUMBER), "not a number"),
    ("inf", Reading(Q.NUMBER), "not a number"),
    ("1e400", Reading(Q.NUMBER), "exponent"),
    ("1e-99", Reading(Q.WEIGHT), "exponent"),
    ("5%", Reading(Q.FRACTION), "percent"),
    ("9" * 40, Reading(Q.NUMBER), "digits"),
    ("--5", Reading(Q.NUMBER), "not a number"),
    (".", Reading(Q.NUMBER), "not a number"),
    ("12.3456", Reading(Q.MONEY), "more than 2 decimals"),
    ("12.5", Reading(Q.MONEY, unit="cents"), "part of a cent"),
    ("(-5)", Reading(Q.MONEY), "minus"),
    ("1e15", Reading(Q.MONEY), "too large"),
    ("five", Reading(Q.MONEY), "not an amount"),
    ("12 lb 3", Reading(Q.WEIGHT), "not a weight"),
    ("12 in", Reading(Q.WEIGHT), "not a unit of weight"),
    ("5 lb 20 oz", Reading(Q.WEIGHT), "whole larger"),
    ("10 lb 2 kg", Reading(Q.WEIGHT), "belong together"),
    ("1/0", Reading(Q.LENGTH), "not a number"),
    ("5 5", Reading(Q.LENGTH), "not a length"),
    ("0 125", Reading(Q.LENGTH), "not a length"),
    ("12 x 8", Reading(Q.LENGTH), "not a length"),
    ("9:30", Reading(Q.MINUTES), "not a time in minutes"),
    ("03/04/2025", Reading(Q.DATE), "two days"),
    ("03/04/25", Reading(Q.DATE), "two figures"),
    ("31/02/2025", Reading(Q.DATE, date_order="dmy"), "not a valid date"),
    ("31/12/2025", Reading(Q.DATE, date_order="mdy"), "not a valid date"),
    ("31/12-2025", Reading(Q.DATE, date_order="dmy"), "not a date"),
    ("2025-02-29", Reading(Q.DATE), "not a valid date"),
    ("45992", Reading(Q.DATE), "spreadsheet"),
    ("45992.6", Reading(Q.INSTANT), "spreadsheet"),
    ("1764633600", Reading(Q.INSTANT), "not a date"),
    ("3 Foo 2025", Reading(Q.DATE), "not a month"),
    ("5 Octember 2026", Reading(Q.DATE), "not a month"),
    ("5 Junk 2026", Reading(Q.DATE), "not a month"),
    ("Marble 5, 2026", Reading(Q.DATE), "not a month"),
    ("05-Oct-26", Reading(Q.DATE, date_order="ymd"), "write all four"),
    ("31-Sep-26", Reading(Q.DATE), "not a valid date"),
    ("2025-10-05 24:00", Reading(Q.INSTANT), "time that does not exist"),
    ("2025-10-05 13:00 PM", Reading(Q.INSTANT), "time that does not exist"),
    ("2025-10-05 10:00:60", Reading(Q.INSTANT), "time that does not exist"),
    ("2025-10-05T10:00:00+25:00", Reading(Q.INSTANT), "offset that does not exist"),
    ("0001-01-01T00:00:00+02:00", Reading(Q.INSTANT), "not a valid date"),
    ("maybe", Reading(Q.FLAG), "neither yes nor no"),
]


@pytest.mark.parametrize(
    ("text", "reading", "reason"), REFUSED, ids=[f"{text[:20]}-{one.quantity}" for text, one, _ in REFUSED]
)
def test_what_is_refused(text: str, reading: Reading, reason: str) -> None:
    cell = read_cell(text, reading)
    assert cell.value is None
    assert cell.reason is not None and reason in cell.reason


def test_a_length_stated_in_centimetres_meets_its_whole_inch() -> None:
    # 48 in is 121.92 cm by 16 CFR 500.19; a hair's breadth over it would be a surcharge.
    assert read_cell("121.92", Reading(Q.LENGTH, unit="cm")).value == 48.0


def test_units_a_map_may_state() -> None:
    assert "cm" in units_of(Q.LENGTH) and "kg" in units_of(Q.WEIGHT) and "cents" in units_of(Q.MONEY)
    assert "cm" not in units_of(Q.WEIGHT) and "furlong" not in units_of(Q.LENGTH) and "cm" not in units_of(Q.TEXT)


READINGS = st.builds(
    Reading,
    st.sampled_from(list(Q)),
    decimal=st.sampled_from([None, ".", ","]),
    date_order=st.sampled_from([None, "dmy", "mdy", "ymd"]),
    currency=st.sampled_from(["USD", "EUR", "JPY", "KWD"]),
)
SCRAPS = st.lists(
    st.sampled_from([*"0123456789.,-+/:'\"()$€ %eETZ½", "lb", "oz", "in", "ft", "cm", "2025", "12", "NaN", "\x00"]),
    max_size=14,
).map("".join)


@given(SCRAPS | st.text(max_size=30), READINGS)
@settings(derandomize=True, deadline=None, max_examples=tries(3_000))
@example("1/2/3", Reading(Q.LENGTH))
@example("9" * 5_000, Reading(Q.MONEY))
def test_any_text_is_read_or_refused_with_a_reason(text: str, reading: Reading) -> None:
    cell = read_cell(text, reading)
    assert cell.value is None or cell.reason is None
    blank = not text.strip(" \t\n\r\x0b\x0c\x1c\x1d\x1e\x1f\x85\ufeff\u00a0\u2000\u2007\u2009\u202f\u2028\u2029\u3000")
    assert (cell.value is not None) or cell.reason or blank or not text.strip()
    assert cell.reason is None or "\n" not in cell.reason
