"""The billed check and near misses by given rows and expected rows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import tariff
from tests.shops import built, rows

LONG = """
[[surcharges]]
surcharge = "long side"
charge_code = "LONG"
when = [[{ measure = "longest_side", more_than = 48.0 }]]
amount_cents = 1000

[[surcharges]]
surcharge = "least"
charge_code = "LEAST"
when = [[{ measure = "longest_side", more_than = 96.0 }]]
amount_cents = 5000
minimum_weight = 40.0

[[fuel]]
from = 2025-01-01
percent = 10.0
on = ["base"]
"""
CODES = [
    {"carrier": "trial", "charge_code": "BASE", "charge_kind": "base"},
    {"carrier": "trial", "charge_code": "LONG", "charge_kind": "surcharge", "surcharge": "long side"},
    {"carrier": "trial", "charge_code": "LEAST", "charge_kind": "surcharge"},
    {"carrier": "trial", "charge_code": "FUEL", "charge_kind": "fuel"},
    {"carrier": "trial", "charge_code": "ADJ", "charge_kind": "adjustment"},
]
BENCH = {"sale_id": "S1", "carrier": "trial", "service": "plain", "zone": "2", "scale_weight_lb": 5.0}
SIDES = {"length_in": 20.0, "width_in": 10.0, "height_in": 6.95}
# 20 x 10 x 7 in over 139 is 10.07 lb: 11 lb at 100 cents; fuel 10 % of the base.
FAIR = (("BASE", 1100), ("FUEL", 110))


def bills(*lines: tuple[str, int], **more: Any) -> list[dict[str, Any]]:
    facts = {"carrier": "trial", "service": "plain", "zone": "2", "shipped_on": "2026-10-02"}
    billed = {"billed_weight_lb": 11.0, "billed_length_in": 20.0, "billed_width_in": 10.0, "billed_height_in": 7.0}
    return [
        {**facts, **(billed if code == "BASE" else {}), **more, "charge_code": code, "amount_cents": cents}
        for code, cents in lines
    ]


Found = tuple[str, str, int | None]
# What the invoice says, how the bench log differs, and what is found.
CASES: dict[str, tuple[list[dict[str, Any]], dict[str, Any], list[Found]]] = {
    "fair": (bills(*FAIR), {}, []),
    # Zone 3 costs 110 cents a pound.
    "zone": (
        bills(("BASE", 1210), ("FUEL", 121), zone="3"),
        {},
        [("wrong zone", "base", 110), ("wrong zone", "fuel", 11)],
    ),
    "surcharge": (bills(*FAIR, ("LONG", 1000)), {}, [("surcharge not justified", "long side", 1000)]),
    # 40 lb are the least weight of a surcharge without cause: base and fuel go with it.
    "least weight": (
        bills(("BASE", 4000), ("FUEL", 400), ("LEAST", 5000), billed_weight_lb=40.0),
        {},
        [
            ("surcharge not justified", "base", 2900),
            ("surcharge not justified", "fuel", 290),
            ("surcharge not justified", "least", 5000),
        ],
    ),
    "missing": (
        bills(("BASE", 2500), ("FUEL", 250), billed_weight_lb=25.0, billed_length_in=49.0),
        {"length_in": 49.0},
        [("surcharge missing", "long side", -1000)],
    ),
    "weight": (
        bills(("BASE", 1500), ("FUEL", 150), billed_weight_lb=15.0),
        {},
        [("weight re-measured", "base", 400), ("weight re-measured", "fuel", 40)],
    ),
    # 20 x 14 x 7 in over 139 is 14.1 lb: 15 lb.
    "sides": (
        bills(("BASE", 1500), ("FUEL", 150), billed_weight_lb=15.0, billed_width_in=14.0),
        {},
        [("sides re-measured", "base", 400), ("sides re-measured", "fuel", 40)],
    ),
    "rounding": (bills(("BASE", 1101), ("FUEL", 110)), {}, [("rounding", "base", 1)]),
    "other price": (bills(("BASE", 1250), ("FUEL", 125)), {}, [("unknown", "base", 150), ("unknown", "fuel", 15)]),
    "unmapped": (bills(*FAIR, ("WHAT", 300)), {}, [("not checked", "WHAT", 300)]),
    "twice": (bills(*FAIR, ("BASE", 1100)), {}, [("duplicate line", "base", 1100)]),
    # Taken back in between: billed once in the end.
    "taken back": (bills(*FAIR, ("BASE", -1100), ("BASE", 1100)), {}, []),
    "adjusted": (bills(*FAIR, ("ADJ", 250)), {}, [("adjustment without cause", "adj", 250)]),
    "no service": (bills(*FAIR), {"service": "slow"}, [("not rated", "service not in the tariff", None)]),
    "no zone": (bills(*FAIR), {"zone": "9"}, [("not rated", "zone not in the tariff", None)]),
    "no weight": (bills(*FAIR), {"scale_weight_lb": None}, [("not rated", "weight unknown", None)]),
    "no tariff": (bills(*FAIR), {"carrier": "elsewhere"}, [("not rated", "no tariff on that day", None)]),
    "no sides": (
        bills(*FAIR),
        {"length_in": None, "width_in": None, "height_in": None},
        [("not rated", "sides unknown", None)],
    ),
    # Not billed yet: nothing to compare, but an inch away from a surcharge.
    "near": ([], {"length_in": 48.3, "width_in": 4.0, "height_in": 4.0}, []),
}


@pytest.fixture(scope="module")
def checked() -> Iterator[warehouse.Connection]:
    with built(
        price_lists=[tariff("trial", LONG)],
        sales=[{"sale_id": "S1"}],
        weights=[{**BENCH, **SIDES, **bench, "parcel_id": name} for name, (_, bench, _) in CASES.items()],
        charges=[{**line, "parcel_id": name} for name, (lines, _, _) in CASES.items() for line in lines],
        charge_codes=CODES,
    ) as connection:
        yield connection


@pytest.mark.parametrize("name", CASES)
def test_each_cause_has_its_class(checked: warehouse.Connection, name: str) -> None:
    listed = rows(
        checked,
        "select difference_class, charge_name, difference_cents from marts.billing_differences "
        f"where parcel_id = '{name}' order by difference_class, charge_name",
    )
    assert [tuple(row.values()) for row in listed] == CASES[name][2]


def test_the_least_change_that_keeps_a_surcharge_off_is_found(checked: warehouse.Connection) -> None:
    (near,) = rows(
        checked,
        "select near_miss, change, change_in, spared_cents from marts.surcharge_near_misses "
        "where charge_name = 'long side' and parcel_id = 'near'",
    )
    # 0.375 in is the first eighth that brings 48.3 in to 48; 49 x 4 x 4 and 48 x 4 x 4 in both weigh 6 lb.
    assert near == {"near_miss": "paid", "change": "longest side", "change_in": 0.375, "spared_cents": 1000}
