"""Amounts that a tariff can state, by given parcels and expected cents."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from models.tariffs.checks import checked
from tests.models.tariffs.price_lists import tariff
from tests.pipelines.parcels import holding, rated, rated_rows, requests, sides

ROW = '[[surcharges]]\nsurcharge = "{name}"\ncharge_code = "{name}"\n{rest}\n'
SMALL = sides(2, 2, 2)


def row(rest: str, name: str = "row") -> str:
    return ROW.format(name=name, rest=rest)


@pytest.mark.parametrize(
    ("rest", "stated", "cents"),
    [
        # 12.5 cents for each of the 3 pounds begun above 2: 37.5, half up.
        ("per_weight = { above = 2.0, step = 1.0, amount_cents = 12.5 }", {"scale_weight_lb": 4.2}, 38),
        ("per_weight = { above = 2.0, step = 1.0, amount_cents = 12.5 }", {"scale_weight_lb": 2.0}, 0),
        ("per_weight = { step = 5.0, amount_cents = 30 }\nat_least_cents = 50", {"scale_weight_lb": 1.0}, 50),
        ("per_weight = { step = 5.0, amount_cents = 30 }\nat_most_cents = 100", {"scale_weight_lb": 100.0}, 100),
        # 12 x 8 x 4 in are 0.2222 cubic feet, at 36 lb each 8 lb: 5 are missing beside 3 on the scale, none beside 8.
        (
            "per_missing_weight = { density = 36.0, step = 1.0, amount_cents = 12.5 }",
            sides(12, 8, 4) | {"scale_weight_lb": 2.6},
            63,
        ),
        (
            "per_missing_weight = { density = 36.0, step = 2.0, amount_cents = 12.5 }",
            sides(12, 8, 4) | {"scale_weight_lb": 2.6},
            38,
        ),
        (
            "per_missing_weight = { density = 36.0, step = 1.0, amount_cents = 12.5 }\nat_least_cents = 90",
            sides(12, 8, 4) | {"scale_weight_lb": 8.0},
            0,
        ),
        # 1.5 % of 123.45 is 1.85175.
        ('percent = 1.5\nof = ["declared"]', {"declared_value_cents": 12_345}, 185),
        ('percent = 1.5\nof = ["declared"]\nat_least_cents = 300', {"declared_value_cents": 12_345}, 300),
        ('percent = 1.5\nof = ["declared"]\nat_most_cents = 100', {"declared_value_cents": 12_345}, 100),
        ("percent = 1.0\nat_least_cents = 90", {}, 90),
        (
            "per_declared = { above_cents = 10000, step_cents = 10000, amount_cents = 120 }\nat_least_cents = 200",
            {},
            200,
        ),
    ],
)
def test_a_surcharge_comes_to(rest: str, stated: dict[str, Any], cents: int) -> None:
    assert rated([tariff(rest=row(rest))], SMALL | stated)["surcharge_cents"].tolist() == [cents]


@pytest.mark.published
def test_what_is_missing_to_a_density_is_charged_by_weight() -> None:
    # An Australian shop's page of delivery charges (everriseproducts.com.au, read 2026): 250 kg a cubic metre; its
    # example of 0.8 x 0.5 x 0.15 m counts for 15 kg, and 5 kg on the scale are 10 short. A Canadian haulier's rules
    # (trademarktrans.com, minimum charge): the deficit to the least weight is charged at a rate. Prices are invented.
    rest = row("per_missing_weight = { density = 250.0, step = 1.0, amount_cents = 40 }")
    listed = tariff(rest=rest, length_unit="cm", weight_unit="kg", divisor="none", side_rounding="none")
    asked = requests(
        *(
            sides(80 / 2.54, 50 / 2.54, 15 / 2.54) | {"scale_weight_lb": kilograms / 0.45359237}
            for kilograms in (5, 4.2, 14.5, 15, 20)
        )
    )
    with holding([listed]) as connection:
        assert rated_rows(connection, asked)["surcharge_cents"].tolist() == [400, 400, 0, 0, 0]
        why = connection.execute("select measure, measured from whatif.expected_charges where charge_name = 'row'")
        assert why.fetchall() == [("missing_weight", 10.0)] * 2


def test_of_a_group_the_greatest_amount_is_charged_where_its_rows_say_so() -> None:
    group = 'group = "g"\ngreatest = true\n'
    rest = row(f"amount_cents = 500\n{group}", "fixed") + row(f'percent = 2.0\nof = ["declared"]\n{group}', "insured")
    found = rated([tariff(rest=rest)], {"declared_value_cents": 20_000}, {"declared_value_cents": 30_000})
    assert found["surcharge_cents"].tolist() == [500, 600]
    assert checked(tariff(rest=rest)) == []
    ranked = rest.replace("greatest = true", "rank = 2", 1)
    assert ["no `greatest`" in each.what for each in checked(tariff(rest=ranked)) if each.level == "stop"] == [True]
    share = rest.replace('of = ["declared"]', 'of = ["base"]')
    assert ["cannot compare" in each.what for each in checked(tariff(rest=share)) if each.level == "stop"] == [True]


def test_weight_beyond_the_last_price_costs_by_the_step() -> None:
    prices = "service,zone,up_to_weight,price_cents\nplain,2,10,1000\nplain,3,10,1200\n"
    rest = '[[further]]\nzones = ["2"]\nstep = 2.0\namount_cents = 65.5\nup_to = 15.0\n'
    found = rated(
        [tariff(rest=rest, prices=prices)],
        *(SMALL | {"scale_weight_lb": weight} for weight in (10.0, 10.5, 12.0, 13.0, 15.0, 15.5)),
        SMALL | {"scale_weight_lb": 11.0, "zone": "3"},
    )
    # 1000, then 65.5 for each 2 lb begun: 1065.5 and 1131 and 1196.5, half up.
    assert found["base_cents"].tolist()[:5] == [1000, 1066, 1066, 1131, 1197]
    assert found["lacking"].tolist()[5:] == ["weight beyond the prices"] * 2


def test_ranges_of_further_weight_follow_each_other() -> None:
    rest = "".join(
        f"[[further]]\nstep = {step}\namount_cents = {cents}\nup_to = {most}\n"
        for step, cents, most in ((1.0, 30, 20.0), (2.0, 65.5, 15.0), (5.0, 1, 12.0))
    )
    found = rated(
        [tariff(rest=rest, prices="service,zone,up_to_weight,price_cents\nplain,2,10,1000\n")],
        *(SMALL | {"scale_weight_lb": weight} for weight in (12.0, 13.0, 15.0, 16.0, 20.0, 20.5)),
    )
    # 1 up to 12 lb, then 65.5 for each 2 lb begun up to 15, then 30 a pound.
    assert found["base_cents"].tolist()[:5] == [1001, 1067, 1132, 1162, 1282]
    assert found["lacking"].tolist()[5] == "weight beyond the prices"


def test_a_discount_has_its_zones_and_its_last_day() -> None:
    rest = '[[discounts]]\npercent = 10.0\non = ["base"]\n'
    rest += '[[discounts]]\npercent = 20.0\non = ["base"]\nzones = ["3"]\nfrom = 2025-06-01\nto = 2025-06-30\n'
    found = rated(
        [tariff(rest=rest)],
        *(
            SMALL | {"zone": zone, "shipped_on": date(2025, month, 30)}
            for zone, month in (("2", 6), ("3", 5), ("3", 6), ("3", 7))
        ),
    )
    # Zone 2 costs 100, zone 3 110; after its last day the earlier discount counts again.
    assert found["base_cents"].tolist() == [90, 99, 88, 99]


def test_fuel_may_be_of_one_service() -> None:
    fuel = '[[fuel]]\nfrom = 2000-01-01\npercent = {}\non = ["base"]\nservices = ["{}"]\n'
    other = '[[services]]\nservice = "fast"\nside_rounding = "up"\ndivisor = "none"\nweight_step = 1.0\n'
    prices = "service,zone,up_to_weight,price_cents\nplain,2,10,1000\nfast,2,10,2000\n"
    listed = tariff(rest=other + fuel.format("10.0", "plain") + fuel.format("5.0", "fast"), prices=prices)
    assert rated([listed], SMALL, SMALL | {"service": "fast"})["fuel_cents"].tolist() == [100, 100]
    assert checked(listed) == []
