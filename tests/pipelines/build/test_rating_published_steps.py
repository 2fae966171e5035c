"""Published prices by steps of weight, by volume and by declared value, of carriers in four countries.

What each parcel costs is worked out beside, in plain arithmetic by the words of the source.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from models.plain_rows import as_dicts
from models.tariffs.checks import checked
from models.tariffs.rules import Tariff
from tests.models.tariffs.shown import hold_shown
from tests.pipelines.build.test_rating_published_lists import CENTIMETRE, KILOGRAM, SERVICE, listed
from tests.pipelines.parcels import rated

Sides = tuple[float, float, float]


def parcel(kilograms: float, sides: Sides = (10, 10, 10), **more: Any) -> dict[str, Any]:
    named = dict(zip(("length_in", "width_in", "height_in"), (side / CENTIMETRE for side in sides), strict=True))
    return {"scale_weight_lb": kilograms / KILOGRAM, "service": "parcel", **named, **more}


def charged(tariff: Tariff, *asked: dict[str, Any]) -> list[int]:
    assert [each for each in checked(tariff) if each.level == "stop"] == []
    hold_shown(tariff)
    return [int(row["expected_cents"]) for row in as_dicts(rated([tariff], *asked))]


def further(step: float, cents: float, most: float, zones: str = "") -> str:
    return f"[[further]]\n{zones}step = {step}\namount_cents = {cents}\nup_to = {most}\n"


@pytest.mark.published
def test_parcels_of_the_united_kingdom_by_half_kilograms() -> None:
    # Royal Mail, Standard Service parcels, 26 April 1999 (The London Gazette, notice L-55467-11): to zone 5 not
    # exceeding 0.5 kg 4.35, each additional 0.5 kg or part up to 2.5 kg 0.95, above 2.5 up to 5 kg 0.80, above 5 up to
    # 10 kg 0.50, above 10 up to 15 kg 0.50, above 15 up to 30 kg 0.40; to zones 6 to 8 13.20, 1.20, 0.90, 0.70, 0.50,
    # 0.30.
    ranges = (2.5, 5.0, 10.0, 15.0, 30.0)
    steps = {"5": (435, (95, 80, 50, 50, 40)), "6": (1320, (120, 90, 70, 50, 30))}

    def by_hand(zone: str, kilograms: float) -> int:
        pence, by_range = steps[zone]
        for half in range(2, math.ceil(kilograms * 2) + 1):
            pence += by_range[next(place for place, most in enumerate(ranges) if half / 2 <= most)]
        return pence

    rules = SERVICE.format(name="parcel", step=0.5, limits="scale_weight = 30.0") + "".join(
        further(0.5, cents, most, f'zones = ["{zone}"]\n')
        for zone, (_, by_range) in steps.items()
        for most, cents in zip(ranges, by_range, strict=True)
    )
    prices = {("parcel", zone, ""): [(0.5, first)] for zone, (first, _) in steps.items()}
    weights = (0.3, 0.5, 0.51, 2.5, 2.6, 5.0, 9.7, 12.1, 15.2, 30.0)
    asked = [(zone, weight) for weight in weights for zone in steps]
    tariff = listed("Royal Mail 1999", rules, prices, "GBP")
    assert charged(tariff, *(parcel(weight, zone=zone) for zone, weight in asked)) == [by_hand(*each) for each in asked]
    # 4.35 + 4 x 0.95 + 5 x 0.80 + 10 x 0.50 + 10 x 0.50 + 30 x 0.40.
    assert by_hand("5", 30.0) == 3415


@pytest.mark.published
def test_domestic_parcels_of_south_africa() -> None:
    # Postal Services Act, 1998: fees and charges for postal services 2024, 1.3 domestic parcel service
    # (source.acts.co.za): 78.60 for the first kilogram, 10.60 for each additional one or part; the greater of mass and
    # length x width x height in cm over 5000. Insurance, as an option: 2 % of the declared value up to 5,000, at least
    # 6.30.
    def by_hand(kilograms: float, sides: Sides) -> int:
        mass = max(kilograms, round(math.prod(sides) / 5_000, 3))
        return 7_860 + 1_060 * (math.ceil(mass) - 1)

    rules = SERVICE.format(name="parcel", step=1.0, limits="scale_weight = 30.0").replace(
        '"none"\nweight', "5000.0\nweight"
    )
    rules += further(1.0, 1_060, 60.0) + (
        '[[options]]\noption = "insurance"\ncharge_code = "INSURED"\npercent = 2.0\nof = "declared"\n'
        "at_least_cents = 630\nat_most_cents = 10000\n"
    )
    asked: list[tuple[float, Sides]] = [
        (0.4, (10, 10, 10)),
        (1.0, (25, 20, 10)),
        (1.0, (25, 20, 10.1)),
        (1.001, (10, 10, 10)),
        (2.5, (30, 20, 10)),
        (3.0, (100, 20, 20)),
        (9.99, (40, 30, 20)),
        (12.0, (60, 50, 20)),
        (12.0, (120, 25, 25)),
        (29.5, (80, 40, 40)),
    ]
    tariff = listed("Fees for postal services 2024", rules, {("parcel", "*", ""): [(1.0, 7_860)]}, "ZAR")
    insured = [parcel(*each, declared_value_cents=100_000) for each in asked]
    assert charged(tariff, *insured) == [by_hand(*each) for each in asked]


@pytest.mark.published
def test_parcels_of_a_courier_in_india_by_value() -> None:
    # A courier of Mumbai, domestic rates as printed at starexp.net/dom_rate.php: first 250 g, first 500 g and every
    # additional 500 g by zone; the higher of weight and length x width x height in cm over 5000; of parcels worth more
    # than 10,000, up to 100,000, a risk surcharge of 3 % of the value beyond. Collect on delivery, as an option: the
    # higher of 200 and 0.5 % of the declared value.
    rates = {"city": (20, 25, 20), "state": (30, 35, 30), "metro": (40, 45, 40), "all": (45, 50, 45)}

    def by_hand(zone: str, kilograms: float, sides: Sides, rupees: int) -> int:
        quarter, half, more = rates[zone]
        weight = max(kilograms, round(math.prod(sides) / 5_000, 3))
        carriage = quarter if weight <= 0.25 else half + more * (math.ceil(weight * 2) - 1)
        return carriage * 100 + 3 * max(rupees - 10_000, 0)

    rules = SERVICE.format(name="parcel", step=0.25, limits="scale_weight = 50.0").replace(
        '"none"\nweight', "5000.0\nweight"
    )
    rules += "".join(further(0.5, more * 100, 100.0, f'zones = ["{zone}"]\n') for zone, (_, _, more) in rates.items())
    rules += (
        '[[surcharges]]\nsurcharge = "risk"\ncharge_code = "RISK"\n'
        "per_declared = { above_cents = 1000000, step_cents = 1, amount_cents = 0.03 }\n"
        '[[options]]\noption = "collect on delivery"\ncharge_code = "COD"\npercent = 0.5\nof = "declared"\n'
        "at_least_cents = 20000\n"
    )
    prices = {
        ("parcel", zone, ""): [(0.25, first * 100), (0.5, half * 100)] for zone, (first, half, _) in rates.items()
    }
    asked: list[tuple[str, float, Sides, int]] = [
        ("city", 0.2, (10, 10, 10), 0),
        ("city", 0.25, (10, 10, 10), 10_000),
        ("state", 0.26, (10, 10, 10), 10_001),
        ("state", 0.5, (10, 10, 20), 9_999),
        ("metro", 0.51, (10, 10, 10), 25_000),
        ("metro", 1.0, (10, 10, 10), 100_000),
        ("all", 1.2, (30, 20, 10), 0),
        ("all", 1.2, (30, 20, 10.5), 0),
        ("all", 7.3, (50, 40, 30), 64_321),
        ("city", 22.4, (90, 30, 30), 12_345),
    ]
    tariff = listed("A courier's domestic rates", rules, prices, "INR")
    parcels = [parcel(kg, sides, zone=zone, declared_value_cents=100 * rupees) for zone, kg, sides, rupees in asked]
    assert charged(tariff, *parcels) == [by_hand(*each) for each in asked]


@pytest.mark.published
def test_goods_that_norway_sorts_by_hand() -> None:
    # Bring (Posten Norge), "Handling surcharge parcels - prices from July 1, 2021": 116 without tax over 120 cm long,
    # 60 cm wide or 60 cm high, below 23 x 13 x 1 cm, and for rolls; tax of 25 %. Carriage stands here as 100.00.
    def by_hand(sides: Sides, is_box: bool = True) -> int:
        high, wide, long = sorted(sides)
        is_large, is_small = long > 120 or wide > 60, long < 23 or wide < 13 or high < 1
        return round((10_000 + 11_600 * (is_large or is_small or not is_box)) * 1.25)

    rules = SERVICE.format(name="parcel", step=1.0, limits="scale_weight = 35.0") + (
        '[[surcharges]]\nsurcharge = "handling"\ncharge_code = "HAND"\namount_cents = 11600\nwhen = [\n'
        '  [{ measure = "longest_side", more_than = 120.0 }],\n  [{ measure = "second_side", more_than = 60.0 }],\n'
        '  [{ measure = "longest_side", less_than = 23.0 }],\n  [{ measure = "second_side", less_than = 13.0 }],\n'
        '  [{ measure = "shortest_side", less_than = 1.0 }],\n  [{ rectangular = false }],\n]\n'
        "[[tax]]\nfrom = 2000-01-01\npercent = 25.0\n"
    )
    asked: list[tuple[Sides, bool]] = [
        ((120, 60, 60), True),
        ((120.1, 60, 60), True),
        ((120, 60.1, 10), True),
        ((61, 61, 61), True),
        ((23, 13, 1), True),
        ((22.9, 13, 1), True),
        ((23, 12.9, 1), True),
        ((23, 13, 0.9), True),
        ((80, 15, 15), False),
        ((13, 1, 23), True),
    ]
    tariff = listed("Bring 2021", rules, {("parcel", "*", ""): [(35.0, 10_000)]}, "NOK")
    parcels = [parcel(2.0, sides, is_rectangular=is_box) for sides, is_box in asked]
    assert charged(tariff, *parcels) == [by_hand(*each) for each in asked]
