"""Why a parcel is not compared with another service, and what learned prices leave open: two carriers, by hand.

Plain, of `trial`, costs a dollar a pound in zone 2 and a tenth more in zone 3; `other` half of that. Both are invented.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from models.tariffs.price_file import learned_mark
from models.tariffs.rules import Tariff
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.pipelines.build.shipped_together import parcel
from tests.pipelines.build.test_services import COMPARED, compared
from tests.shops import rows

CHART = "origin,destination,zone\n1,10,2\n1,20,3\n1,2050,2\n"
DAYS = '\n[[promises]]\nzones = ["2"]\ndays = 2\n\n[[promises]]\nzones = ["3"]\ndays = 3\n'
FUEL = '\n[[fuel]]\nfrom = 2000-01-01\npercent = 10.0\non = ["base"]\n'
# A dollar a pound, and 4 cents a pound either way; from 8 pounds on it is not known how far.
LEARNED = "\n".join(
    [
        learned_mark(date(2025, 1, 1), date(2025, 12, 31), "lb"),
        "service,zone,up_to_weight,price_cents,interval_cents,miss_cents",
        *(f"plain,{zone},{n},{100 * n},{4 * n if n < 8 else ''}," for zone in "23" for n in range(1, 21)),
        "",
    ]
)
HALF = prices_text(rate=50)
FOUND = ("other_cents", "not_compared")


def listed(carrier: str, prices: str, rest: str = DAYS, chart: str = CHART, **stated: Any) -> Tariff:
    named = 'zone_chart = "zones.csv"\nships_from = "1"\n' if chart else ""
    text = rules_text(carrier, rest, first=named, **stated)
    return parsed(f"{carrier}.toml", text, lambda name: chart if name == "zones.csv" else prices)


TRIAL = listed("trial", prices_text())


def answers(other: Tariff | None, *parcels: dict[str, Any], own: Tariff = TRIAL) -> list[tuple[Any, ...]]:
    """What stands of each parcel, in order: other_cents and not_compared."""
    lists = [own] if other is None else [own, other]
    with compared(lists, parcels) as connection:
        found = rows(connection, f"{COMPARED} order by all")
    return [tuple(row[name] for name in FOUND) for row in found]


def sent(name: str, pounds: float = 5, code: str | None = "10", **stated: Any) -> dict[str, Any]:
    return parcel(name, pounds, None, **{"sale_id": name, "destination_prefix": code, **stated})


def test_what_can_be_compared_is_rated_and_all_else_says_why() -> None:
    together = [sent(name, shipment_id="S9", sale_id="S9") for name in ("H1", "H2")]
    parcels = [
        *(sent("A"), sent("B", code="20999"), sent("C", code="20"), sent("D", code="30"), sent("E", code=None)),
        *(sent("F", pounds=60), sent("G", zone="2", code="201")),
        *together,
    ]
    found = answers(listed("other", HALF, limits="limits = { scale_weight = 50.0 }"), *parcels)
    assert found == [
        (250, None),
        (None, "slower"),
        (None, "zone left open by the chart"),
        (None, "no zone by the chart"),
        (None, "destination unknown"),
        (None, "beyond limit: scale_weight"),
        (None, "slower"),
        *[(None, "part of a shipment of several parcels")] * 2,
    ]


def test_a_destination_that_the_bench_log_lacks_is_that_of_the_sales_in_the_parcel_where_they_agree() -> None:
    places = {"A": "10", "B": "20999", "C": None, "D": "10", "E": "10"}
    sales = [{"sale_id": name, "destination_prefix": code} for name, code in places.items()]
    # The bench log says first what it knows; a parcel of two sales to different places has none.
    both = [sent("F", code=None, sale_id=name, line_number=1, packed_quantity=1) for name in ("A", "B")]
    alike = [sent("G", code=None, sale_id=name, line_number=1, packed_quantity=1) for name in ("A", "D")]
    parcels = [*(sent(name, code=None) for name in "ABC"), sent("E", code="20999"), *both, *alike]
    with compared([TRIAL, listed("other", HALF)], parcels, sales) as connection:
        found = rows(connection, f"select parcel_id, other_cents, not_compared from ({COMPARED}) order by parcel_id")
    assert [tuple(row.values()) for row in found] == [
        ("A", 250, None),
        ("B", None, "slower"),
        ("C", None, "destination unknown"),
        ("E", None, "slower"),
        ("F", None, "destination unknown"),
        ("G", 250, None),
    ]


def test_as_fast_is_fast_enough_and_the_zone_is_that_of_the_other_carrier() -> None:
    # By hand: five pounds in zone 3 at half a dollar and a tenth of a dollar for the zone.
    assert answers(listed("other", HALF), sent("A", zone="3", code="20999")) == [(300, None)]


def test_a_carrier_without_a_chart_is_not_compared_unless_its_prices_hold_for_every_zone() -> None:
    assert answers(listed("other", HALF, chart=""), sent("A")) == [(None, "no zone by the chart")]
    every = prices_text(("*",), rate=50)
    promise = "\n[[promises]]\ndays = 2\n"
    assert answers(listed("other", every, promise, chart=""), sent("A")) == [(250, None)]
    # A price of every zone beside prices of some: which holds hangs on the zone.
    both = every + "".join(f"plain,2,{n},{40 * n}\n" for n in range(1, 151))
    assert answers(listed("other", both, promise, chart=""), sent("A")) == [(None, "no zone by the chart")]
    assert answers(listed("other", both, promise), sent("A"), sent("B", code="20999")) == [(200, None), (250, None)]


def test_days_that_nobody_promises_are_not_guessed() -> None:
    assert answers(listed("other", HALF, ""), sent("A")) == [(None, "no days promised")]
    silent = listed("trial", prices_text(), "")
    assert answers(listed("other", HALF), sent("A"), own=silent) == [(None, "no days promised for the service used")]
    near = '\n[[promises]]\nzones = ["2"]\ndays = 2\n'
    assert answers(listed("other", HALF, near), sent("A", zone="3", code="20999"), sent("B")) == [
        (None, "no days promised"),
        (250, None),
    ]


def test_a_price_of_every_zone_may_reach_some_zones_sooner() -> None:
    every = listed("other", prices_text(("*",), rate=50))
    assert answers(every, sent("A"), sent("B", code="20999")) == [(250, None), (None, "slower")]


def test_a_shop_with_one_service_and_one_whose_other_list_has_ended() -> None:
    assert answers(None, sent("A")) == [(None, "no other service in a tariff")]
    ended = listed("other", HALF, effective_to="2026-09-30")
    assert answers(ended, sent("A")) == [(None, "no other service in a tariff")]


def test_what_its_own_tariff_cannot_price_is_not_compared() -> None:
    assert answers(listed("other", HALF), sent("A", scale_weight_lb=None), sent("B", pounds=200)) == [
        (None, "weight unknown"),
        (None, "weight beyond the prices"),
    ]


@pytest.mark.parametrize(
    ("own", "other", "pounds", "expected"),
    [
        # Of 5.00 with fuel of a tenth: 20 cents and their fuel.
        (TRIAL, listed("other", LEARNED, DAYS + FUEL), 5, (550, 22, None)),
        (listed("trial", LEARNED, DAYS + FUEL), listed("other", HALF), 5, (250, 22, None)),
        (listed("trial", LEARNED, DAYS + FUEL), listed("other", LEARNED), 5, (500, 42, None)),
        (TRIAL, listed("other", HALF), 5, (250, 0, None)),
        (TRIAL, listed("other", LEARNED), 9, (None, None, "learned price without an interval")),
        (listed("trial", LEARNED), listed("other", HALF), 9, (None, None, "learned price without an interval")),
        (TRIAL, listed("other", LEARNED), 30, (None, None, "weight beyond the prices")),
    ],
)
def test_learned_prices_are_compared_with_their_intervals_and_only_within_what_they_were_learned_from(
    own: Tariff, other: Tariff, pounds: float, expected: tuple[Any, ...]
) -> None:
    with compared([own, other], [sent("A", pounds)]) as connection:
        (row,) = rows(connection, f"select other_cents, learned_within_cents, not_compared from ({COMPARED})")
    assert tuple(row.values()) == expected


def test_of_two_lists_of_a_carrier_the_later_one_counts() -> None:
    lists = ((10, "2026-01-01"), (50, "2026-09-01"))
    older, newer = (listed("other", prices_text(rate=rate), effective_from=day) for rate, day in lists)
    with compared([TRIAL, older, newer], [sent("A")]) as connection:
        found = rows(connection, f"select other_cents from ({COMPARED})")
    assert found == [{"other_cents": 250}]
