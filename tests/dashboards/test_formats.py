from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dashboards import formats
from models import columns
from models.fields import LONGEST_TEXT, Quantity
from models.shop_units import Units


# ISO 4217, list one (maintained by SIX for ISO), column "minor unit": USD 2, BHD 3.
@pytest.mark.published
@pytest.mark.parametrize(("currency", "digits"), [("USD", 2), ("BHD", 3)])
def test_minor_digits_are_those_of_the_list_of_currencies(currency: str, digits: int) -> None:
    assert formats.minor_digits(currency) == digits


@pytest.mark.from_memory
@pytest.mark.parametrize(("currency", "digits"), [("JPY", 0), ("KWD", 3), ("CLF", 4), ("EUR", 2), ("GBP", 2)])
def test_further_minor_digits(currency: str, digits: int) -> None:
    assert formats.minor_digits(currency) == digits


@pytest.mark.parametrize(
    ("cents", "currency", "written"),
    [
        (2400, "USD", "$24.00"),
        (-2400, "USD", "-$24.00"),
        (-5, "USD", "-$0.05"),
        (0, "USD", "$0.00"),
        (123456789, "USD", "$1,234,567.89"),
        (1234, "JPY", "¥1,234"),
        (-1234567, "KWD", "-KWD 1,234.567"),
        (1999, "CAD", "CAD 19.99"),
    ],
)
def test_money(cents: int, currency: str, written: str) -> None:
    assert formats.money(cents, currency) == written


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.integers(-(10**14), 10**14), st.sampled_from(["USD", "EUR", "JPY", "KWD", "CAD", "CLF"]))
def test_money_can_be_read_back_to_the_cent(cents: int, currency: str) -> None:
    written = formats.money(cents, currency)
    digits = "".join(mark for mark in written if mark.isdigit() or mark in "-.")
    assert Decimal(digits).scaleb(formats.minor_digits(currency)) == cents
    assert written.startswith("-") == (cents < 0)


@pytest.mark.parametrize(
    ("cell", "column", "written"),
    [
        (0.018, "crude_damage_rate", "1.8%"),
        (0.0994, "crude_damage_rate", "9.9%"),
        (0.0996, "crude_damage_rate", "10%"),
        (0.126, "crude_damage_rate", "13%"),
        (-0.25, "crude_damage_rate", "-25%"),
        (0.996, "invoiced_share", "99.6%"),
        (1.0, "invoiced_share", "100%"),
        (0.9996, "invoiced_share", "99.9%"),
        (18211, "row_count", "18,211"),
        (dt.date(2026, 10, 1), "shipped_month", "October 2026"),
        (dt.date(2026, 10, 5), "shipped_on", "5 Oct 2026"),
        (dt.datetime(2026, 11, 1, 6, 0), "landed_at", "1 Nov 2026 06:00"),
        (True, "is_residential", "yes"),
        (11.40, "scale_weight_lb", "11.4"),
        (-0.001, "some_ratio", "0"),
        (8492, "margin_change_cents", "+$84.92"),
        (-8492, "margin_change_cents", "-$84.92"),
        (0, "margin_change_cents", "$0.00"),
        ("twin wall", "packing_method", "twin wall"),
    ],
)
def test_cells_as_written(cell: object, column: str, written: str) -> None:
    assert formats.shown(cell, column, Units("USD")) == written


@pytest.mark.parametrize("nothing", [None, float("nan"), pd.NA, pd.NaT])
@pytest.mark.parametrize("column", ["any", "margin_cents", "shipped_month", "is_cut", "row_count"])
def test_null_is_unknown_whatever_the_column(nothing: object, column: str) -> None:
    assert formats.shown(nothing, column, Units("USD")) == "not known"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.5, "50%"), (0.994, "99%"), (0.996, "99.6%"), (0.99996, "99.9%"), (1.0, "100%"), (1.2, "120%")],
)
def test_less_than_all_is_never_all(share: float, text: str) -> None:
    assert formats.spoken(share, "invoiced_share", Units("USD"), is_rounded=True) == text


def test_every_display_has_its_writing() -> None:
    assert set(formats.WRITINGS) == set(columns.Display)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(st.text(max_size=300))
def test_plain_text_is_one_short_line_without_unseen_marks(text: str) -> None:
    line = formats.plain(text)
    assert len(line) <= LONGEST_TEXT
    assert not set(line) & set("\n\r\t\x00\x1b\u202e\u2066\u200f\u2028\ufeff")


def test_plain_text_keeps_what_can_be_read() -> None:
    assert formats.plain("tripod,  long\u202e \u200fשלום") == "tripod, long שלום"


def test_every_column_of_the_contracts_has_a_label_and_a_meaning() -> None:
    shown = {name: (columns.label(name), columns.meaning(name, Units("USD"))) for name in columns.COLUMNS}
    assert {name: words for name, words in shown.items() if not all(words) or "_" in words[0]} == {}


@pytest.mark.parametrize(
    ("column", "kind"),
    [
        ("saving_cents", Quantity.MONEY),
        ("expected_rate", Quantity.FRACTION),
        ("due_on", Quantity.DATE),
        ("why", "text"),
    ],
)
def test_a_column_that_no_contract_knows_is_read_by_its_suffix(column: str, kind: str) -> None:
    assert columns.quantity(column) == kind
