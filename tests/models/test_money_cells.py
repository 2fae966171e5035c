"""Amounts of money with the signs, words and codes of the world's currencies: exact to the cent, or refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.cells.texts import Reading, minor_digits, read_cell
from models.fields import Quantity

Q = Quantity

READ: list[tuple[str, Reading, int]] = [
    ("US$ 12.50", Reading(Q.MONEY), 1250),
    ("12,50 €", Reading(Q.MONEY, currency="EUR"), 1250),
    ("CHF 12.50", Reading(Q.MONEY, currency="CHF"), 1250),
    ("12.50 EUR", Reading(Q.MONEY, currency="EUR"), 1250),
    ("12,50 Euro", Reading(Q.MONEY, currency="EUR"), 1250),
    ("12.50 US dollars", Reading(Q.MONEY), 1250),
    ("12,50 US-Dollar", Reading(Q.MONEY), 1250),
    ("kr 99", Reading(Q.MONEY, currency="NOK"), 9900),
    ("kr. 99", Reading(Q.MONEY, currency="DKK"), 9900),
    ("R$ 5", Reading(Q.MONEY, currency="BRL"), 500),
    ("-R$ 5,00", Reading(Q.MONEY, currency="BRL"), -500),
    ("99 zł", Reading(Q.MONEY, currency="PLN"), 9900),
    ("£12.50", Reading(Q.MONEY, currency="GBP"), 1250),
    ("¥1,250,000", Reading(Q.MONEY, currency="JPY"), 1250000),
    ("$.50", Reading(Q.MONEY), 50),
    ("B/.50", Reading(Q.MONEY, currency="PAB"), 5000),
    ("\u200e-12.50\u00a0$", Reading(Q.MONEY), -1250),
]


@pytest.mark.parametrize(("text", "reading", "cents"), READ, ids=[text for text, _, _ in READ])
def test_what_is_read(text: str, reading: Reading, cents: int) -> None:
    cell = read_cell(text, reading)
    assert (cell.value, cell.reason) == (cents, None)


REFUSED: list[tuple[str, Reading, str]] = [
    ("12.-", Reading(Q.MONEY, currency="CHF"), "mean no cents"),
    ("5+", Reading(Q.MONEY), "currency is USD"),
    ("$5", Reading(Q.MONEY, currency="NOK"), "currency is NOK"),
    ("kr 5", Reading(Q.MONEY, currency="EUR"), "currency is EUR"),
    ("R$ 5", Reading(Q.MONEY), "currency is USD"),
    ("5 kg", Reading(Q.MONEY), "currency is USD"),
    ("€5", Reading(Q.MONEY), "currency is USD"),
    ("5 EUR", Reading(Q.MONEY), "currency is USD"),
    ("$5", Reading(Q.MONEY, currency="EUR"), "currency is EUR"),
]


@pytest.mark.parametrize(
    ("text", "reading", "reason"), REFUSED, ids=[f"{text}-{how.currency}" for text, how, _ in REFUSED]
)
def test_what_is_refused(text: str, reading: Reading, reason: str) -> None:
    cell = read_cell(text, reading)
    assert cell.value is None
    assert cell.reason is not None and reason in cell.reason


@given(st.integers(-(10**12), 10**12), st.sampled_from(["USD", "JPY", "KWD"]), st.sampled_from([".", ","]))
@settings(derandomize=True, deadline=None, max_examples=300)
def test_money_is_exact_to_the_cent(cents: int, currency: str, decimal: str) -> None:
    digits = minor_digits(currency)
    whole, part = divmod(abs(cents), 10**digits)
    text = f"{'-' if cents < 0 else ''}{whole}" + (f"{decimal}{part:0{digits}}" if digits else "")
    assert read_cell(text, Reading(Q.MONEY, decimal=decimal, currency=currency)).value == cents
