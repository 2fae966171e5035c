"""Cells held to published units of length, weight, money and time."""

from __future__ import annotations

from datetime import date
from typing import Literal

import pytest
from babel.dates import format_date

from models.cells.texts import Reading, minor_digits, read_cell
from models.fields import Quantity

Q = Quantity


@pytest.mark.published
@pytest.mark.parametrize(
    ("text", "inches"),
    [
        # 16 CFR 500.19: 1 in = 2.54 cm exactly, 1 ft = 30.48 cm, 1 yd = 0.9144 m.
        ("2.54 cm", 1.0),
        ("25.4 mm", 1.0),
        ("30.48 cm", 12.0),
        ("1 ft", 12.0),
        ("0.9144 m", 36.0),
        # UN/CEFACT Recommendation 20: INH inch, CMT centimetre, MMT millimetre.
        ("48 INH", 48.0),
        ("2.54 CMT", 1.0),
        ("25.4 MMT", 1.0),
    ],
)
def test_published_lengths(text: str, inches: float) -> None:
    assert read_cell(text, Reading(Q.LENGTH)).value == inches


@pytest.mark.published
def test_published_pound() -> None:
    # 16 CFR 500.19: 1 lb = 453.592 g, printed to six figures. One part in the last figure is 0.0005 g.
    grams_as_pounds = read_cell("453.592 g", Reading(Q.WEIGHT, decimal=".")).value
    assert isinstance(grams_as_pounds, float)
    assert grams_as_pounds == pytest.approx(1.0, abs=0.0005 / 453.592 + 0.5e-6)
    # UN/CEFACT Recommendation 20: LBR pound, ONZ ounce, KGM kilogram; 1 lb = 0.45359237 kg exactly.
    assert read_cell("0.45359237 KGM", Reading(Q.WEIGHT)).value == 1.0
    assert read_cell("16 ONZ", Reading(Q.WEIGHT)).value == read_cell("1 LBR", Reading(Q.WEIGHT)).value == 1.0


@pytest.mark.published
@pytest.mark.parametrize(
    ("currency", "text", "minor"),
    # ISO 4217, minor units: USD 2, EUR 2, GBP 2, JPY 0, KWD 3.
    [("USD", "1.25", 125), ("EUR", "1.25", 125), ("GBP", "1.25", 125), ("JPY", "125", 125), ("KWD", "1.255", 1255)],
)
def test_published_minor_units(currency: str, text: str, minor: int) -> None:
    assert read_cell(text, Reading(Q.MONEY, currency=currency, decimal=".")).value == minor
    too_fine = f"1.{'0' * minor_digits(currency)}5"
    assert read_cell(too_fine, Reading(Q.MONEY, currency=currency, decimal=".")).value is None


@pytest.mark.published
@pytest.mark.parametrize(
    ("week", "day"),
    # ISO 8601 week dates.
    [("2026-W01-1", date(2025, 12, 29)), ("2020-W53-5", date(2021, 1, 1))],
)
def test_published_week_dates(week: str, day: date) -> None:
    assert read_cell(week, Reading(Q.DATE)).value == day


@pytest.mark.published
@pytest.mark.parametrize("locale", ["en", "en_GB", "de", "fr", "es", "it", "pt"])
@pytest.mark.parametrize("form", ["medium", "long"])
def test_published_names_of_months(locale: str, form: Literal["medium", "long"]) -> None:
    # Unicode CLDR, Gregorian calendar, date formats `medium` and `long`, as Babel carries them.
    for month in range(1, 13):
        day = date(2026, month, 5)
        written = format_date(day, form, locale)
        assert read_cell(written, Reading(Q.DATE, date_order="dmy")).value == day, written
