"""Fuel on named charges, tax and stated rounding, by given parcels and cents reckoned by hand."""

from __future__ import annotations

from typing import Any

import pytest

from models.tariffs.checks import checked
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.parcels import rated, sides

LONG = sides(49, 4, 4)
ROWS = """
[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
when = [[{ measure = "longest_side", more_than = 48.0 }]]
amount_cents = 1000

[[surcharges]]
surcharge = "road"
charge_code = "ROAD"
percent = 5.0

[[discounts]]
percent = 10.0
on = ["surcharge:long side"]
"""
FUEL = "[[fuel]]\nfrom = 2025-01-01\npercent = 10.0\non = {on}\n"
TAX = "[[tax]]\nfrom = 2025-01-01\npercent = 19.0\n"


@pytest.mark.parametrize(
    ("on", "cents"),
    [
        # 49 x 4 x 4 in weigh 5.64 lb by volume: 6 lb at 600; the long side 1000 less 10 %; road 5 % of 600 is 30.
        ('["base"]', 60),
        ('["surcharge"]', 93),
        ('["base", "surcharge"]', 153),
        ('["surcharge:long side"]', 90),
        ('["base", "surcharge:road"]', 63),
        ('["base", "surcharge:long side", "surcharge:road"]', 153),
    ],
)
def test_fuel_is_taken_on_what_the_list_names(on: str, cents: int) -> None:
    (found,) = rated([tariff(rest=ROWS + FUEL.format(on=on))], LONG)["fuel_cents"].tolist()
    assert found == cents


@pytest.mark.parametrize(
    ("first", "rest", "tax", "total"),
    [
        # 600 + 900 + 30 + 153 fuel are 1683; 19 % of them 319.77.
        ("", TAX, 320, 2003),
        ("tax_reclaimable = true\n", TAX, 0, 1683),
        ("tax_in_prices = true\n", TAX, 0, 1683),
        # 1683 x 19 / 119 are 268.71, which come back.
        ("tax_in_prices = true\ntax_reclaimable = true\n", TAX, -269, 1414),
        ("", TAX + 'zones = ["3"]\n', 0, 1683),
        ("", TAX + "[[tax]]\nfrom = 2025-06-02\npercent = 16.0\n", 269, 1952),
        ("", TAX + "[[tax]]\nfrom = 2025-06-03\npercent = 16.0\n", 320, 2003),
        ('tax_rounding = { cents = 5, way = "down" }\n', TAX, 315, 1998),
    ],
)
def test_tax_comes_last_and_is_a_cost_where_the_shop_does_not_get_it_back(
    first: str, rest: str, tax: int, total: int
) -> None:
    listed = tariff(rest=ROWS + FUEL.format(on='["base", "surcharge"]') + rest, first=first)
    (found,) = rated([listed], LONG)[["tax_cents", "expected_cents"]].to_numpy().tolist()
    assert found == [tax, total]


@pytest.mark.parametrize(
    ("first", "own", "cents"),
    [
        ("", "amount_cents = 122.5", 123),
        ("", "amount_cents = 122.4", 122),
        ('rounding = { cents = 5, way = "nearest" }', "amount_cents = 122.4", 120),
        ('rounding = { cents = 5, way = "nearest" }', "amount_cents = 122.5", 125),
        ('rounding = { cents = 5, way = "up" }', "amount_cents = 120.001", 125),
        ('rounding = { cents = 5, way = "down" }', "amount_cents = 124.999", 120),
        ('rounding = { cents = 10, way = "up" }', "percent = 20.0", 130),
        ('rounding = { cents = 10, way = "up" }', 'percent = 20.0\nrounding = { cents = 1, way = "down" }', 121),
        ("", 'percent = 20.0\nrounding = { cents = 5, way = "nearest" }', 120),
        # Three steps of a tenth of a cent and a half: 4.5, half up.
        ("", "per_declared = { above_cents = 0, step_cents = 100, amount_cents = 1.5 }", 5),
        ('rounding = { cents = 1, way = "down" }', "per_weight = { step = 1.0, amount_cents = 0.333 }", 1),
    ],
)
def test_an_amount_is_rounded_as_the_list_says(first: str, own: str, cents: int) -> None:
    row = f'[[surcharges]]\nsurcharge = "row"\ncharge_code = "ROW"\n{own}\n'
    prices = "service,zone,up_to_weight,price_cents\nplain,2,10,606\n"
    asked: dict[str, Any] = LONG | {"declared_value_cents": 250}
    (found,) = rated([tariff(rest=row, prices=prices, first=first + "\n")], asked)["surcharge_cents"].tolist()
    assert found == cents


@pytest.mark.parametrize(
    ("first", "rest", "words"),
    [
        ("", TAX + TAX, "stated twice"),
        ("", TAX + 'zones = ["9"]\n', "tax for 9"),
        ("tax_in_prices = true\n", "", "no [[tax]]"),
        ("", FUEL.format(on='["surcharge:nothing"]'), "fuel on surcharge:nothing"),
    ],
)
def test_shares_without_sense_are_found(first: str, rest: str, words: str) -> None:
    assert [each for each in checked(tariff(rest=rest, first=first)) if words in each.what]
