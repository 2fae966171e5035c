"""Discounts that stand together, by weight, on shares and on fuel, by given parcels and cents reckoned by hand."""

from __future__ import annotations

import pytest

from models.errors import TariffError
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.parcels import rated

PRICES = "service,zone,up_to_weight,price_cents\nplain,2,10,1000\nplain,2,20,2000\n"
OFF = "[[discounts]]\npercent = {percent}\non = [{on}]\n{rest}\n"


def off(percent: float, rest: str = "", on: str = '"base"') -> str:
    return OFF.format(percent=percent, on=on, rest=rest)


@pytest.mark.parametrize(
    ("discounts", "left"),
    [
        ([off(10)], 900),
        # Of two that are not stacked the latest begun counts, of equals the last.
        ([off(10), off(20)], 800),
        ([off(10, "from = 2025-02-01"), off(20)], 900),
        # 10 % and then 20 % of what is left; 10 % and 20 %.
        ([off(10), off(20, 'stacked = "after"')], 720),
        ([off(10), off(20, 'stacked = "added"')], 700),
        # Added ones first, whichever stands first: 1 - 0.7 x 0.95.
        ([off(5, 'stacked = "after"'), off(10), off(20, 'stacked = "added"')], 665),
        ([off(60), off(60, 'stacked = "added"')], 0),
        ([off(60, "minimum_charge_cents = 500"), off(20, 'stacked = "added"')], 500),
        ([off(20, "above_weight = 5.0")], 1000),
        ([off(20, "up_to_weight = 5.0")], 800),
        ([off(10), off(20, 'stacked = "after"\nup_to_weight = 4.0')], 900),
        ([off(10, "to = 2025-06-01"), off(20, 'stacked = "after"')], 800),
    ],
)
def test_discounts_that_count_together_are_one_share(discounts: list[str], left: int) -> None:
    listed = tariff(rest="".join(discounts), prices=PRICES, effective_from="2025-01-01")
    (cents,) = rated([listed], {"scale_weight_lb": 5.0})["base_cents"].tolist()
    assert cents == left


def test_a_weight_band_ends_with_its_upper_weight() -> None:
    listed = tariff(rest=off(20, "above_weight = 5.0\nup_to_weight = 12.0"), prices=PRICES)
    found = rated([listed], *({"scale_weight_lb": weight} for weight in (5.0, 6.0, 12.0, 13.0)))
    assert found["base_cents"].tolist() == [1000, 800, 1600, 2000]


def test_shares_and_fuel_are_discounted_too() -> None:
    rows = """
[[surcharges]]
surcharge = "road"
charge_code = "ROAD"
percent = 10.0

[[fuel]]
from = 2025-01-01
percent = 12.0
on = ["base"]
"""
    half = off(50, on='"surcharge:road"') + off(25, on='"fuel"', rest="from = 2025-06-02")
    listed = tariff(rest=rows + half, prices=PRICES, effective_from="2025-01-01")
    before, after = ({"shipped_on": f"2025-06-0{day}"} for day in (1, 2))
    found = rated([listed], before, after)
    # 10 % of 1000 less half; fuel 12 %, then three quarters of it.
    assert found["surcharge_cents"].tolist() == [50, 50]
    assert found["fuel_cents"].tolist() == [120, 90]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (off(10, "up_to_weight = 5.0", on='"fuel"'), "which a weight band is for"),
        (off(10, 'zones = ["2"]', on='"fuel"'), "no zones and no minimum"),
        (off(10, 'stacked = "twice"'), "stacked = twice is not known"),
    ],
)
def test_what_cannot_stand_together_is_reported(row: str, words: str) -> None:
    with pytest.raises(TariffError, match=words):
        tariff(rest=row)
