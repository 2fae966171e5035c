"""Reading the tariff format: what is stated arrives, what is wrong is named with its line."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from models.errors import TariffError
from models.tariffs.charges import Condition
from models.tariffs.claim_terms import all_terms
from models.tariffs.format import read
from models.tariffs.price_file import learned_mark
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text, tariff, without_terms

LONG_SIDE = """
[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
zones = ["2"]
when = [
  [{ measure = "longest_side", more_than = 48.0 }],
  [{ measure = "second_side", at_least = 30 }, { measure = "scale_weight", more_than = 20.125 }],
]
amount_cents = 1850
group = "handling"
rank = 2
minimum_weight = 40.0
at_most_cents = 9000
"""


def test_what_is_stated_arrives() -> None:
    found = tariff(rest=LONG_SIDE, effective_to="2026-01-11", divisor=138.4, limits="limits = { longest_side = 108 }")
    assert found.last_on == date(2026, 1, 11)
    assert found.services[0].divisor == Decimal("138.4")
    assert found.services[0].limits == (("longest_side", 108_000),)
    row = found.surcharges[0]
    assert row.when == (
        (Condition("longest_side", False, 48_000),),
        (Condition("second_side", True, 30_000), Condition("scale_weight", False, 20_125)),
    )
    assert (row.amount_cents, row.group, row.rank, row.minimum_weight_milli) == (1850, "handling", 2, 40_000)
    assert (row.zones, row.services, row.line) == (("2",), None, 24)


def test_an_empty_price_means_that_none_is_known() -> None:
    found = tariff(prices="service,zone,up_to_weight,price_cents\nplain,2,3,\nplain,2,4,1200\n")
    assert [(price.up_to_milli, price.price_cents) for price in found.prices] == [(3_000, None), (4_000, 1200)]


@pytest.mark.parametrize(
    ("before", "after", "line", "words"),
    [
        ('length_unit = "in"', "", 1, "length_unit is missing"),
        ('weight_unit = "lb"', "", 1, "weight_unit is missing"),
        ('length_unit = "in"', 'length_unit = "ell"', 6, "length_unit = ell is not known"),
        ("divisor = 139.0", "divisor = 0", 16, "divisor = 0 is too small"),
        ("divisor = 139.0", 'divisor = "139"', 16, "divisor = 139 is not a number"),
        ('side_rounding = "up"', 'side_rounding = "down"', 15, "side_rounding = down is not known"),
        ('measure = "longest_side"', 'measure = "girth"', 27, "unknown measure girth"),
        ("more_than = 48.0", "below = 48.0", 27, "condition"),
        ("more_than = 48.0", "more_than = 48.0005", 27, "too many decimal places"),
        ("amount_cents = 1850", "amount_cents = 1850\npercent = 2.0", 31, "exactly one must stand"),
        ("amount_cents = 1850", "amount_cents = 1.8555", 31, "amount_cents = 1.8555 has too many decimal places"),
        ("amount_cents = 1850", "percent = 2.0\nof = ['tax']", 32, "unknown kind tax"),
        ("rank = 2", "rank = 2\nresidental = true", 34, "residental is no rule"),
        ("effective_from = 2000-01-01", "effective_from = 2000-13-01", 4, "not valid TOML"),
        ("zones = [", "zones = ", 26, "not valid TOML"),
        ('prices = "trial.csv"', 'prices = "none.csv"', 8, "none.csv does not exist"),
    ],
)
def test_a_fault_is_named_with_its_line(before: str, after: str, line: int, words: str) -> None:
    text = rules_text(rest=LONG_SIDE).replace(before, after, 1)
    found, findings = read("trial.toml", text, lambda name: prices_text() if name == "trial.csv" else None)
    assert found is None
    named = [finding for finding in findings if words in finding.what]
    assert [(finding.file, finding.line, finding.level) for finding in named] == [("trial.toml", line, "stop")]


def test_terms_that_are_left_out_are_not_known() -> None:
    found = parsed("trial.toml", without_terms(rules_text()), lambda name: prices_text())
    assert (found.dispute_days, found.dispute_from, found.claim_days) == (None, None, None)
    assert all_terms(found.claim_days, found.claim_terms) == ()
    zero = parsed("trial.toml", rules_text().replace("claim_days = 60", "claim_days = 0"), lambda name: prices_text())
    assert zero.claim_days == 0


def test_days_of_dispute_want_the_day_that_they_count_from() -> None:
    text = rules_text().replace('dispute_from = "invoiced_on"\n', "")
    with pytest.raises(TariffError, match="dispute_from is missing"):
        parsed("trial.toml", text, lambda name: prices_text())


@pytest.mark.parametrize(
    ("line", "days"),
    [
        ("claim_days = 30   # not known", None),
        ("claim_days = 30", 30),
        ("claim_days = 30   # asked on 3 May", 30),
        ("claim_days = 14   # not known", 14),
    ],
)
def test_a_term_that_an_older_learned_list_calls_not_known_is_not_known(line: str, days: int | None) -> None:
    text = rules_text(rest="[[fuel]]").replace("claim_days = 60", line)
    found, findings = read("trial.toml", text, lambda name: prices_text())
    assert found is None
    assert {finding.line for finding in findings} == {text.splitlines().index("[[fuel]]") + 1}
    whole = parsed("trial.toml", rules_text().replace("claim_days = 60", line), lambda name: prices_text())
    assert whole.claim_days == days


@pytest.mark.parametrize("row", ["plain,2,one,100", "plain,2,1,1.5", "plain,2,1", ",2,1,100", "plain,2,0,100"])
def test_a_bad_price_row_is_named_with_its_line(row: str) -> None:
    text = prices_text().replace("plain,2,3,300\n", f"{row}\n")
    with pytest.raises(TariffError, match=r"trial.csv, line 4"):
        parsed("trial.toml", rules_text(), lambda name: text)


def test_another_price_header_is_refused() -> None:
    with pytest.raises(TariffError, match=r"trial.csv, line 1"):
        parsed("trial.toml", rules_text(), lambda name: "zone,service,weight,price\n2,plain,1,100\n")


def test_a_mark_before_the_header_says_that_prices_are_learned() -> None:
    mark = learned_mark(date(2025, 1, 1), date(2025, 12, 31), "lb")
    marked = tariff(prices=f"{mark}\n{prices_text()}")
    plain = tariff(prices=f"# kept by hand\n{prices_text()}")
    assert (marked.learned_first_on, marked.learned_last_on) == (date(2025, 1, 1), date(2025, 12, 31))
    assert (plain.learned_first_on, plain.learned_last_on) == (None, None)
    assert len(marked.prices) == len(plain.prices) == len(tariff(prices=prices_text()).prices)
    assert marked.prices[0].line == 3


def test_a_spreadsheet_may_pad_the_mark_and_a_mark_without_days_is_reported() -> None:
    mark = learned_mark(date(2025, 1, 1), date(2025, 12, 31), "lb")
    assert tariff(prices=f"{mark},,,\n{prices_text()}").learned_last_on == date(2025, 12, 31)
    with pytest.raises(TariffError, match="names no days"):
        tariff(prices=f"{mark.replace('2025-12-31', '2025-13-31')}\n{prices_text()}")


def test_learned_weights_in_another_unit_than_the_tariffs_are_reported() -> None:
    mark = learned_mark(date(2025, 1, 1), date(2025, 12, 31), "kg")
    with pytest.raises(TariffError, match="weights are in kg, the tariff's in lb"):
        tariff(prices=f"{mark}\n{prices_text()}")
