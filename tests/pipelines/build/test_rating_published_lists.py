"""Published price lists of four countries, written in the tariff format, and parcels priced from them by hand.

The lists stand here for their shape: sizes, sums of sides, zones that are no numbers, tolls by weight, grams.
"""

from __future__ import annotations

from typing import Any

import pytest

from models.plain_rows import as_dicts
from models.tariffs.checks import checked
from models.tariffs.rules import Tariff
from tests.models.tariffs.price_lists import parsed
from tests.models.tariffs.shown import hold_shown
from tests.pipelines.parcels import rated

TOP = """tariff_code = "trial"
carrier = "trial"
source = "{source}"
effective_from = 2000-01-01
currency = "{currency}"
length_unit = "cm"
weight_unit = "{weight_unit}"
prices = "trial.csv"
dispute_days = 60
dispute_from = "invoiced_on"
claim_days = 60
"""
SERVICE = """
[[services]]
service = "{name}"
side_rounding = "none"
divisor = "none"
weight_step = {step}
limits = {{ {limits} }}
"""
KILOGRAM, CENTIMETRE = 0.45359237, 2.54
# Service, zone, sides in cm, weight in the list's unit, and the price or what the carrier does not take.
Case = tuple[str, str, tuple[float, float, float], float, int | str]


def listed(
    source: str,
    rules: str,
    prices: dict[tuple[str, str, str], list[tuple[float, int]]],
    currency: str,
    unit: str = "kg",
) -> Tariff:
    """The list with its prices by (service, zone, class)."""
    rows = [f"{','.join(lane)},{weight},{price}" for lane, bands in prices.items() for weight, price in bands]
    text = TOP.format(source=source, currency=currency, weight_unit=unit) + rules
    return parsed(
        "trial.toml", text, lambda name: "\n".join(["service,zone,class,up_to_weight,price_cents", *rows, ""])
    )


def charged(tariff: Tariff, cases: list[Case], per_pound: float) -> list[int | str]:
    """The expected amount of each case in minor units, or why there is none."""
    asked: list[dict[str, Any]] = [
        dict(zip(("length_in", "width_in", "height_in"), (side / CENTIMETRE for side in sides), strict=True))
        | {"service": service, "zone": zone, "scale_weight_lb": weight / per_pound}
        for service, zone, sides, weight, _ in cases
    ]
    assert [each for each in checked(tariff) if each.level == "stop"] == []
    hold_shown(tariff)
    rows = rated([tariff], *asked)
    return [
        str(row["lacking"]) if isinstance(row["lacking"], str) else int(row["expected_cents"]) for row in as_dicts(rows)
    ]


def band(weights: tuple[float, ...], *prices: int) -> list[tuple[float, int]]:
    return list(zip(weights, prices, strict=True))


@pytest.mark.published
def test_parcels_and_bulky_goods_of_switzerland() -> None:
    # Swiss Post Ltd, "Prices and conditions for business customers. Domestic parcels", valid from 1 January 2017, list
    # prices without VAT. Standard up to 100 x 60 x 60 cm; bulky goods up to 250 cm and 400 cm of length plus girth
    # (Swiss Post Ltd, "PostPac Priority"; the older conditions for "Sperrgut").
    rules = "".join(
        SERVICE.format(name=name, step=1.0, limits="scale_weight = 30.0") for name in ("priority", "economy")
    )
    rules += (
        '[[classes]]\nclass = "parcel"\nat_most = { longest_side = 100.0, second_side = 60.0 }\n'
        '[[classes]]\nclass = "bulky"\nat_most = { longest_side = 250.0, length_plus_girth = 400.0 }\n'
    )
    weights = (2, 5, 10, 20, 30)
    prices = {
        ("priority", "*", "parcel"): band(weights, 833, 1019, 1111, 1667, 2315),
        ("economy", "*", "parcel"): band(weights, 648, 833, 926, 1389, 2037),
        ("priority", "*", "bulky"): [(30.0, 2870)],
        ("economy", "*", "bulky"): [(30.0, 2685)],
    }
    cases: list[Case] = [
        ("priority", "any", (30, 20, 10), 2.0, 833),
        ("priority", "any", (30, 20, 10), 2.01, 1019),
        ("economy", "any", (100, 60, 60), 5.0, 833),
        ("economy", "any", (100.5, 60, 60), 5.0, 2685),
        ("economy", "any", (60, 100, 60), 9.9, 926),
        ("priority", "any", (100, 61, 20), 1.0, 2870),
        ("priority", "any", (40, 40, 40), 19.5, 1667),
        ("economy", "any", (40, 40, 40), 30.0, 2037),
        # 160 + 2 x (60 + 60) = 400 is still carried, 161 is not.
        ("priority", "any", (160, 60, 60), 12.0, 2870),
        ("priority", "any", (161, 60, 60), 12.0, "no size fits"),
        ("economy", "any", (40, 40, 40), 30.1, "beyond limit: scale_weight"),
    ]
    tariff = listed("Swiss Post 2017", rules, prices, "CHF")
    assert charged(tariff, cases, KILOGRAM) == [case[-1] for case in cases]
    # Sales discount on list prices from CHF 1,250 a month: 4 %. 8.33 less 0.3332 is 8.00, 28.70 less 1.148 is 27.55.
    reduced = listed("Swiss Post 2017", rules + '[[discounts]]\npercent = 4.0\non = ["base"]\n', prices, "CHF")
    assert charged(reduced, [cases[0], cases[5]], KILOGRAM) == [800, 2755]


@pytest.mark.published
def test_international_parcels_of_austria() -> None:
    # Oesterreichische Post AG, "Rates for international parcels - business" (undated page of its site): cuboids up to
    # 100 cm; road toll 0.37, in zones 1a to 1c beyond 10 kg 0.44.
    toll = '[[surcharges]]\nsurcharge = "road toll"\ncharge_code = "TOLL"\n'
    rules = SERVICE.format(name="parcel", step=0.5, limits="longest_side = 100.0, scale_weight = 31.5")
    near = 'zones = ["1a", "1b", "1c"]\n'
    rules += (
        f'{toll}{near}when = [[{{ measure = "rated_weight", at_most = 10.0 }}]]\namount_cents = 37\n'
        f'{toll}{near}when = [[{{ measure = "rated_weight", more_than = 10.0 }}]]\namount_cents = 44\n'
        f'{toll}zones = ["2", "3", "4", "5"]\namount_cents = 37\n'
    )
    weights = (1, 2, 4, 10, 31.5)
    prices = {
        ("parcel", "1a", ""): band(weights, 1559, 1777, 2104, 2500, 5395),
        ("parcel", "1b", ""): band(weights, 1613, 1831, 2158, 2600, 7195),
        ("parcel", "1c", ""): band(weights, 1668, 1886, 2213, 3303, 9360),
        ("parcel", "2", ""): band(weights, 1787, 1920, 2650, 4650, 12600),
        ("parcel", "3", ""): band(weights, 2064, 2509, 3620, 6550, 17500),
        ("parcel", "4", ""): band(weights, 2402, 3411, 4620, 8520, 22000),
        ("parcel", "5", ""): band(weights, 2849, 4150, 6250, 12500, 36500),
    }
    box = (40.0, 30.0, 20.0)
    cases: list[Case] = [
        ("parcel", "1a", box, 0.8, 1559 + 37),
        ("parcel", "1a", box, 10.0, 2500 + 37),
        ("parcel", "1a", box, 10.2, 5395 + 44),
        ("parcel", "1b", box, 2.0, 1831 + 37),
        ("parcel", "1c", box, 31.5, 9360 + 44),
        ("parcel", "2", box, 3.9, 2650 + 37),
        ("parcel", "3", box, 4.1, 6550 + 37),
        ("parcel", "4", box, 20.0, 22000 + 37),
        ("parcel", "5", box, 1.0, 2849 + 37),
        ("parcel", "5", (100, 30, 20), 31.0, 36500 + 37),
        ("parcel", "5", (100.1, 30, 20), 1.0, "beyond limit: longest_side"),
    ]
    assert charged(listed("Austrian Post", rules, prices, "EUR"), cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_postal_parcels_of_poland_by_size() -> None:
    # Poczta Polska S.A., price list of ordinary parcels of October 2015, from the extract "Cennik Poczty Polskiej" of
    # 2016: size A up to 600 x 500 x 300 mm, size B above in any side, up to 1,500 mm and 3,000 mm of length plus girth.
    rules = "".join(
        SERVICE.format(name=name, step=1.0, limits="scale_weight = 10.0") for name in ("economy", "priority")
    )
    rules += (
        '[[classes]]\nclass = "A"\nat_most = { longest_side = 60.0, second_side = 50.0, shortest_side = 30.0 }\n'
        '[[classes]]\nclass = "B"\nat_most = { longest_side = 150.0, length_plus_girth = 300.0 }\n'
    )
    weights = (1, 2, 5, 10)
    prices = {
        ("economy", "*", "A"): band(weights, 950, 1100, 1300, 1800),
        ("economy", "*", "B"): band(weights, 1200, 1450, 1700, 2200),
        ("priority", "*", "A"): band(weights, 1100, 1300, 1450, 2050),
        ("priority", "*", "B"): band(weights, 1450, 1700, 1900, 2600),
    }
    cases: list[Case] = [
        ("economy", "x", (60, 50, 30), 1.0, 950),
        ("economy", "x", (60.1, 50, 30), 1.0, 1200),
        ("economy", "x", (50, 60, 30), 2.0, 1100),
        ("economy", "x", (50, 50, 31), 2.0, 1450),
        ("priority", "x", (20, 20, 20), 0.3, 1100),
        ("priority", "x", (20, 20, 20), 4.2, 1450),
        ("priority", "x", (60, 51, 10), 4.2, 1900),
        ("priority", "x", (30, 30, 30), 9.5, 2050),
        ("economy", "x", (150, 20, 20), 7.0, 2200),
        # 150 + 2 x (40 + 35) = 300.
        ("priority", "x", (150, 40, 35), 10.0, 2600),
        ("priority", "x", (150, 40, 36), 10.0, "no size fits"),
        ("economy", "x", (30, 30, 30), 10.4, "beyond limit: scale_weight"),
    ]
    assert charged(listed("Poczta Polska 2015", rules, prices, "PLN"), cases, KILOGRAM) == [case[-1] for case in cases]


@pytest.mark.published
def test_mail_of_no_standard_form_of_japan() -> None:
    # Japan Post, postage of first-class mail of no standard form as noted on 19 May 2009 ("[memo]", shi-ra-be):
    # sides add up to at most 90 cm, the longest is at most 60 cm. The yen has no minor unit.
    rules = SERVICE.format(name="mail", step=50.0, limits="sum_of_sides = 90.0, longest_side = 60.0")
    prices = {
        ("mail", "*", ""): band((50, 100, 150, 250, 500, 1000, 2000, 4000), 120, 140, 200, 240, 390, 580, 850, 1150)
    }
    cases: list[Case] = [
        ("mail", "x", (30, 20, 2), 50, 120),
        ("mail", "x", (30, 20, 2), 51, 140),
        ("mail", "x", (30, 20, 10), 149, 200),
        ("mail", "x", (30, 30, 30), 250, 240),
        ("mail", "x", (60, 20, 10), 251, 390),
        ("mail", "x", (60, 20, 10), 999, 580),
        ("mail", "x", (60, 20, 10.1), 999, "beyond limit: sum_of_sides"),
        ("mail", "x", (60.1, 10, 10), 999, "beyond limit: longest_side"),
        ("mail", "x", (40, 25, 25), 1500, 850),
        ("mail", "x", (40, 25, 25), 4000, 1150),
        ("mail", "x", (40, 25, 25), 4010, "weight beyond the prices"),
    ]
    tariff = listed("Japan Post 2009", rules, prices, "JPY", unit="g")
    assert charged(tariff, cases, 1000 * KILOGRAM) == [case[-1] for case in cases]
