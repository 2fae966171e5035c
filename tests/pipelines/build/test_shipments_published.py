"""Published rules for consignments of several parcels, written in the tariff format, and priced by hand."""

from __future__ import annotations

from typing import Any

import pytest

from models.tariffs.checks import checked
from models.tariffs.rules import Tariff
from tests.models.tariffs.price_lists import parsed, rules_text
from tests.models.tariffs.shown import hold_shown
from tests.pipelines.build.shipped_together import line, parcel, shop
from tests.shops import rows

KILOGRAM, CENTIMETRE = 0.45359237, 2.54


def service(name: str) -> str:
    return f"""
[[services]]
service = "{name}"
side_rounding = "none"
divisor = "none"
weight_step = 1.0
"""


def zonal(services: str, zones: str, percent: int, least: int) -> str:
    return f"""
[[surcharges]]
surcharge = "zone"
charge_code = "ZONE"
services = {services}
zones = {zones}
percent = {percent}.0
of = ["base"]
at_least_cents = {least}
"""


def together(tariff: Tariff, consignments: list[list[dict[str, Any]]]) -> list[int]:
    """What is expected of each consignment, in minor units."""
    assert [each for each in checked(tariff) if each.level == "stop"] == []
    hold_shown(tariff)
    weights = [
        parcel(f"{number:02}-{place}", 0, f"S{number:02}", **stated)
        for number, parcels in enumerate(consignments)
        for place, stated in enumerate(parcels)
    ]
    bills = [line("BASE", 1, None, f"S{number:02}") for number in range(len(consignments))]
    with shop(tariff, weights, bills, needed=("core.shipment_charges",)) as connection:
        found = rows(
            connection,
            "select parcel_id, cast(sum(amount_cents) as bigint) as cents from core.shipment_charges "
            "group by parcel_id order by parcel_id",
        )
    return [row["cents"] for row in found]


def sent(service: str, zone: str, *kilograms: float, longest: float = 40.0) -> list[dict[str, Any]]:
    """Parcels of one consignment; the first has that longest side in centimetres."""
    return [
        {"service": service, "zone": zone, "scale_weight_lb": weight / KILOGRAM}
        | {"length_in": (longest if not place else 40.0) / CENTIMETRE, "width_in": 4.0, "height_in": 4.0}
        for place, weight in enumerate(kilograms)
    ]


@pytest.mark.published
def test_zonal_surcharges_by_consignment_in_the_united_kingdom() -> None:
    # Parcelforce Worldwide, "Understanding UK account prices", section "Zonal surcharges - Zones 2 and 3": the agreed
    # price times 120 % to zone 2 and 165 % to zone 3, 70 % by express48 to Northern Ireland, at least 7.75, 13.25 and,
    # by express48, 9.25 pounds a consignment; of large services 16.00 pounds or 125 %, whichever is greater.
    # 7.45 pounds for an item of 1.1 to 1.5 m: the carrier's surcharges as a reseller lists them (manual handling,
    # oversize). Agreed prices are invented; `plain` stands for express24.
    rules = (
        service("express48")
        + service("express48large")
        + zonal('["plain", "express48"]', '["2"]', 120, 775)
        + zonal('["plain"]', '["3"]', 165, 1325)
        + zonal('["express48"]', '["3"]', 165, 925)
        + zonal('["express48"]', '["NI"]', 70, 925)
        + zonal('["express48large"]', '["2", "3"]', 125, 1600)
    )
    rules += """
[[surcharges]]
surcharge = "oversize item"
charge_code = "ITEM"
when = [[{ measure = "longest_side", more_than = 110.0 }]]
amount_cents = 745

[[shipments]]
base = "each"
once = ["zone"]
"""
    agreed = {
        "plain": (600, 700, 900, 1100),
        "express48": (500, 600, 800, 1000),
        "express48large": (600, 900, 1200, 1500),
    }
    prices = [
        f"{name},{zone},{weight},{cents}"
        for name, row in agreed.items()
        for zone in ("1", "2", "3", "NI")
        for weight, cents in zip((5, 10, 20, 30), row, strict=True)
    ]
    text = rules_text("trial", rules, length_unit="cm", weight_unit="kg", side_rounding="none", divisor="none")
    tariff = parsed("trial.toml", text, lambda name: "\n".join(["service,zone,up_to_weight,price_cents", *prices, ""]))
    cases = {
        1_300: sent("plain", "1", 4, 8),  # 6 + 7
        2_640: sent("plain", "2", 2, 2),  # 12 + 14.40, where each alone would bear 7.75
        2_200: sent("express48", "2", 3, 3),  # 10 + 12
        3_180: sent("plain", "3", 4, 4),  # 12 + 19.80
        5_035: sent("express48", "3", 4, 9, 18),  # 19 + 31.35
        1_925: sent("express48", "NI", 4, 4),  # 10 + 9.25, since 70 % are 7
        2_380: sent("express48", "NI", 9, 18),  # 14 + 9.80
        4_725: sent("express48large", "2", 9, 18),  # 21 + 26.25
        2_800: sent("express48large", "3", 4, 4),  # 12 + 16, since 125 % are 15
        3_385: sent("plain", "2", 4, 4, longest=130.0),  # 12 + 14.40 + 7.45 for the one item
    }
    assert together(tariff, list(cases.values())) == list(cases)


@pytest.mark.published
def test_a_rate_a_kilogram_that_falls_with_the_weight_of_the_consignment_in_australia() -> None:
    # StarTrack (Australia Post), "Weight billing", worked examples of cumulative weight: 50 cents a kilogram up to 500,
    # 45 from there to 600, 40 to 700; consignments of 490, 540 and 630 kg come to 245, 268 and 307 dollars.
    rules = """
[[further]]
step = 1.0
amount_cents = 50
up_to = 500.0

[[further]]
step = 1.0
amount_cents = 45
up_to = 600.0

[[further]]
step = 1.0
amount_cents = 40
up_to = 700.0

[[shipments]]
base = "total"
weight = "greater"
"""
    text = rules_text("trial", rules, length_unit="cm", weight_unit="kg", side_rounding="none", divisor="none")
    tariff = parsed("trial.toml", text, lambda name: "service,zone,up_to_weight,price_cents\nplain,2,1,50\n")
    sizes = {24_500: [70] * 7, 26_800: [60] * 9, 30_700: [70] * 9}
    assert together(tariff, [sent("plain", "2", *weights) for weights in sizes.values()]) == list(sizes)
