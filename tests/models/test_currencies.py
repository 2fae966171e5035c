"""Currencies held to ISO 4217, and amounts read back as CLDR's own formatter writes them in each of its locales."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Literal

import pytest
from babel import Locale, localedata
from babel.core import get_global
from babel.numbers import (
    format_currency,
    format_decimal,
    get_currency_precision,
    get_decimal_symbol,
    get_territory_currencies,
    list_currencies,
)
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from models.cells.currencies import groups_by_two, may_mean, minor_digits
from models.cells.texts import Reading, read_cell
from models.fields import Quantity


@pytest.mark.published
@pytest.mark.parametrize(
    ("currency", "digits"),
    # ISO 4217, list one, published by SIX on 2026-01-01, column "minor unit" (CcyMnrUnts).
    [
        *(("USD", 2), ("EUR", 2), ("HUF", 2), ("IDR", 2), ("MGA", 2), ("LBP", 2)),
        *(("JPY", 0), ("ISK", 0), ("KRW", 0), ("UGX", 0), ("XPF", 0), ("UYI", 0)),
        *(("BHD", 3), ("IQD", 3), ("JOD", 3), ("KWD", 3), ("LYD", 3), ("OMR", 3), ("TND", 3)),
        *(("CLF", 4), ("UYW", 4)),
    ],
)
def test_published_minor_units(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.published
def test_minor_units_differ_from_cldr_only_where_daily_use_does() -> None:
    # CLDR, supplementalData, currencyData/fractions: a second source. Where it differs it has dropped minor units that
    # nobody uses any more, or the currency is no longer on list one.
    today = {currency for place in get_global("territory_currencies") for currency in get_territory_currencies(place)}
    shown = today & set(list_currencies())
    differing = {currency for currency in shown if get_currency_precision(currency) != minor_digits(currency)}
    assert len(shown) > 140
    assert all(get_currency_precision(currency) == 0 for currency in differing)
    assert differing <= set(re.findall(r"\w+", "AFN ALL COP HUF IDR IQD IRR KPW LAK LBP MGA MMK SOS SYP YER"))


@pytest.mark.parametrize(
    ("mark", "currency", "is_read"),
    [
        ("$", "USD", True),
        ("$", "MXN", True),
        ("$", "EUR", False),
        ("kr", "SEK", True),
        ("KR.", "DKK", True),
        ("kr", "EUR", False),
        ("\uffe5", "JPY", True),
        ("\xa3", "GBP", True),
        ("\xa3", "USD", False),
        ("eur", "EUR", True),
        ("euros", "EUR", True),
        ("euros", "USD", False),
        ("Schweizer Franken", "CHF", True),
        ("kg", "USD", False),
        ("", "USD", False),
        ("...", "USD", False),
    ],
)
def test_a_sign_is_read_where_the_shops_currency_is_among_its_meanings(mark: str, currency: str, is_read: bool) -> None:
    assert may_mean(mark, currency) is is_read


def test_groups_of_two_are_written_in_india_and_not_in_america() -> None:
    # CLDR, en_IN, decimal format: #,##,##0.###
    assert groups_by_two("INR")
    assert not groups_by_two("USD") and not groups_by_two("EUR")


def _home_currency(name: str) -> str | None:
    """The currency of a locale that writes Latin figures and one of the two marks."""
    locale = Locale.parse(name)
    if not locale.territory or locale.default_numbering_system != "latn" or get_decimal_symbol(locale) not in ".,":
        return None
    return next(iter(get_territory_currencies(locale.territory)), None)


LOCALES = sorted(name for name in localedata.locale_identifiers() if "_" in name)


Style = Literal["standard", "accounting", "name"]
STYLES: list[Style | None] = ["standard", "accounting", "name", None]


@pytest.mark.published
@given(st.sampled_from(LOCALES), st.integers(-(10**10), 10**10), st.sampled_from(STYLES))
@settings(derandomize=True, deadline=None, max_examples=200)
@example("de_CH", -123456789, "standard")
@example("fr_CA", 150000, "accounting")
@example("en_IN", 123456789, "standard")
@example("sv_SE", -150000, "name")
@example("pl_PL", 500, "name")
@example("ar_TN", 150000, "standard")
@example("pt_BR", -5, "accounting")
def test_amounts_are_read_back_as_cldr_writes_them(name: str, cents: int, how: Style | None) -> None:
    currency, locale = _home_currency(name), Locale.parse(name)
    assume(currency)
    assert currency is not None
    amount = Decimal(cents).scaleb(-minor_digits(currency))
    if how is None:
        written = f"{format_decimal(amount, locale=locale, decimal_quantization=False)} {currency}"
    else:
        written = format_currency(
            amount, currency, locale=locale, format_type=how, currency_digits=False, decimal_quantization=False
        )
    if how == "name" and "(" in written:
        return  # CFA francs name their bank in brackets, which mean a negative amount here
    cell = read_cell(written, Reading(Quantity.MONEY, decimal=get_decimal_symbol(locale), currency=currency))
    assert (cell.value, cell.reason) == (cents, None), written


@pytest.mark.published
@given(st.sampled_from(LOCALES), st.decimals(-(10**9), 10**9, places=5))
@settings(derandomize=True, deadline=None, max_examples=150)
def test_numbers_are_read_back_as_cldr_writes_them(name: str, number: Decimal) -> None:
    locale, currency = Locale.parse(name), _home_currency(name)
    assume(currency)
    written = format_decimal(number, locale=locale, decimal_quantization=False)
    reading = Reading(Quantity.NUMBER, decimal=get_decimal_symbol(locale), currency=currency or "")
    assert read_cell(written, reading).value == float(number), written
