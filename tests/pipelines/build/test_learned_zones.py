"""Zones that no record states: the chart's, else what the shop's own bills teach; and bills against the chart.

The oracle reads the rule literally, in plain Python: codes, beginnings, bills counted one by one.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from models.plain_rows import as_dicts
from models.tariffs.places import begins, prefixes
from pipelines.build import zones
from pipelines.review import tracing
from pipelines.shop import warehouse
from tests.models.tariffs.price_lists import parsed, prices_text, rules_text
from tests.shops import built, rows, table

CODES = ("20137", "20138", "20500", "IV1 1AA", "IV12 2AB", "IV2 3CD", "75 001")
CHART = "origin,destination,zone\n,30,4\n,301,5\n"
PRICES = prices_text(zones=("2", "3", "4", "5"))
LISTED = parsed("trial.toml", rules_text(), lambda name: PRICES)
CHARTED = parsed(
    "trial.toml",
    rules_text().replace("dispute_days", 'zone_chart = "zones.csv"\nships_from = "10115"\ndispute_days', 1),
    lambda name: CHART if name == "zones.csv" else PRICES,
)


def parcel(name: str, code: str | None, **more: Any) -> dict[str, Any]:
    return {
        **{"parcel_id": name, "sale_id": name, "carrier": "trial", "service": "plain", "zone": None},
        **{"length_in": 4.0, "width_in": 4.0, "height_in": 4.0, "scale_weight_lb": 1.0, "destination_prefix": code},
        **more,
    }


def bill(name: str, zone: str | None, cents: int = 100) -> dict[str, Any]:
    known = {"carrier": "trial", "service": "plain", "charge_kind": "base", "charge_code": "BASE"}
    return {**known, "parcel_id": name, "zone": zone, "amount_cents": cents, "billed_weight_lb": 1.0}


def of_codes(codes: Mapping[str, Mapping[str, int]]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Billed parcels: by code and zone, how many bills state it."""
    named = [
        (f"{code}-{zone}-{n}", code, zone)
        for code, by in codes.items()
        for zone, many in by.items()
        for n in range(many)
    ]
    return [parcel(name, code) for name, code, _ in named], [bill(name, zone) for name, _, zone in named]


def literally(billed: Mapping[str, Mapping[str, int]], code: str) -> tuple[str, str | None]:
    """Source and zone of a code: of its beginnings the longest with five bills, where four in five agree."""
    (plain,) = prefixes(code.split()[0] if code[0].isalpha() else code)
    for length in range(len(plain), 0, -1):
        beginning = plain[:length]
        if not begins(plain, beginning):
            continue
        counted: Counter[str] = Counter()
        for other, by in billed.items():
            (known,) = prefixes(other.split()[0] if other[0].isalpha() else other)
            if begins(known, beginning):
                counted.update(by)
        if counted.total() >= 5:
            zone, most = counted.most_common(1)[0]
            return ("bills", zone) if most * 5 >= counted.total() * 4 else ("bills disagree", None)
    return "not known", None


def test_zones_are_learned_as_the_rule_reads() -> None:
    chance = random.Random(5)
    billed = {
        code: {"2": chance.choice((0, 1, 4, 30)), "3": chance.choice((0, 1, 2))} for code in chance.sample(CODES, 5)
    }
    bench, charges = of_codes(billed)
    asked = [parcel(code, code) for code in (*CODES, "20139", "2", "99999", "IV11 1AA")]
    with built(price_lists=[LISTED], weights=[*bench, *asked], charges=charges) as connection:
        found = {row["parcel_id"]: row for row in rows(connection, "select * from core.parcel_zones")}
        rated = {row["request_id"]: row["zone"] for row in rows(connection, "select * from rating.requests")}
    for each in asked:
        source, zone = literally(billed, str(each["destination_prefix"]))
        row = found[str(each["parcel_id"])]
        assert (row["zone_source"], row["zone"]) == (source, zone), each
        assert rated[str(each["parcel_id"])] == zone


@pytest.fixture(scope="module")
def taught() -> Iterator[warehouse.Connection]:
    """All of 48 bills to 201 state zone 2, nine of ten to 75; one of five to 301 contradicts the chart."""
    bench, charges = of_codes({"20137": {"2": 48}, "75001": {"3": 9, "4": 1}, "30100": {"5": 4, "4": 1}})
    # Bills that state no zone, 77 cents above the price of the zone that other bills teach.
    unsaid = [parcel("certain", "20137"), parcel("likely", "75001"), parcel("charted", "30177")]
    over = [bill("certain", None, 177), bill("likely", None, 187), bill("charted", None, 207)]
    with built(price_lists=[CHARTED], weights=[*bench, *unsaid], charges=[*charges, *over]) as connection:
        yield connection


def test_a_dispute_rests_on_a_learned_zone_only_where_all_of_many_bills_agree(taught: warehouse.Connection) -> None:
    disputed = rows(taught, "select parcel_id, over_cents from marts.billing_disputes order by parcel_id")
    assert [row["parcel_id"] for row in disputed if row["over_cents"] > 10] == ["certain", "charted"]
    apart = rows(
        taught, "select difference_class, difference_cents from marts.billing_differences where parcel_id = 'likely'"
    )
    assert [row["difference_class"] for row in apart] == ["learned zone"]


def test_zones_without_a_record_are_counted_by_what_gave_them(taught: warehouse.Connection) -> None:
    found = table(taught, "marts.zone_sources")
    assert dict(zip(found["zone_source"], found["parcel_count"], strict=True)) == {"bills": 2, "chart": 1}
    behind = tracing.parcels_behind(taught, "marts.zone_sources", {"zone_source": "bills"}, 100)
    assert set(behind.rows["parcel_id"]) == {"certain", "likely"}


def test_bills_against_the_chart_are_found_with_their_share(taught: warehouse.Connection) -> None:
    (row,) = rows(taught, "select * from marts.zones_against_chart")
    assert (row["chart_prefix"], row["charted_zone"], row["zone"]) == ("301", "5", "4")
    assert (row["parcel_count"], row["bill_count"], row["other_share"]) == (1, 5, 0.2)
    behind = tracing.parcels_behind(taught, "analysis.warnings", {"warning": "zones against chart"}, 100)
    assert len(set(behind.rows["parcel_id"])) == 1


def test_the_list_of_zones_shows_what_bills_teach(taught: warehouse.Connection) -> None:
    _, listed, against = zones.known_otherwise(taught).values()
    (row,) = as_dicts(listed[listed["destination_prefix"] == "75001"])
    assert (row["zone"], row["agreeing_count"], row["zone_bill_count"]) == ("3", 9, 10)
    assert len(against) == 1
