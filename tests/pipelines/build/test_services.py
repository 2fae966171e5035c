"""Parcels on every other service of the tariffs, against a literal reading of each tariff parcel by parcel."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from models.tariffs.rules import Tariff
from pipelines.build import services
from pipelines.shop import warehouse
from sample_data import literal_places, literal_rating
from tests.models.tariffs.price_lists import parsed
from tests.pipelines.build.random_tariffs import random_prices, random_rules
from tests.pipelines.parcels import random_parcel
from tests.sampling import tries
from tests.shops import Rows, built, rows

NEEDED = ("rating.rated", "core.charted_zones", "core.shipment_parcels")
SIDES = ("length_in", "width_in", "height_in")
# Destinations of random parcels in two charts; one carrier's chart leaves some of them open, and one out.
CHARTS = {
    "trial": "597,2\n995,3\n200,2\n60601,3\nIV1..IV12,2\n606,2\n",
    "other": "5,3\n99,2\n20,3\n2001,2\n606,2\nIV,3\n",
}
PROMISES = '\n[[promises]]\nzones = ["2"]\ndays = {near}\n\n[[promises]]\nzones = ["3"]\ndays = {far}\n'


# Each parcel with the services that it was compared with, or why not.
COMPARED = (
    "select m.parcel_id, m.zone, m.expected_cents, s.other_service_key, s.other_cents, s.learned_within_cents, "
    "s.saving_cents, coalesce(m.not_compared, s.not_compared) as not_compared from analysis.compared_parcels as m "
    "left join analysis.parcel_services as s on s.parcel_number = m.parcel_number"
)


@contextmanager
def compared(price_lists: Sequence[Tariff], weights: Rows, sales: Rows = ()) -> Iterator[warehouse.Connection]:
    """A shop of these parcels, compared with other services."""
    with built(price_lists=price_lists, needed=NEEDED, weights=weights, sales=sales) as connection:
        connection.execute("create schema if not exists analysis")
        with warehouse.transaction(connection):
            services.compare(connection, 1200)
        yield connection


def random_list(source: random.Random, carrier: str) -> tuple[str, str, str]:
    """Rules, prices and chart of a carrier drawn at random; days promised for zone 2 and 3."""
    promises = PROMISES.format(near=source.randint(1, 3), far=source.randint(2, 5))
    rules = random_rules(source, carrier) + promises
    stated = f'zone_chart = "{carrier}-zones.csv"\nships_from = "1"\ndispute_days'
    rules = rules.replace("dispute_days", stated, 1)
    heaviest = {"lb": 90, "kg": 40, "oz": 1_400, "g": 40_000}[tomllib.loads(rules)["weight_unit"]]
    chart = "".join(f"1,{line}\n" for line in CHARTS[carrier].split())
    return rules, random_prices(source, heaviest), f"origin,destination,zone\n{chart}"


def written(folder: Path, carrier: str, texts: tuple[str, str, str]) -> tuple[Tariff, literal_rating.Tariff]:
    """The tariff as the program reads it, and as the referee does."""
    rules, prices, chart = texts
    (folder / f"{carrier}.toml").write_text(rules, encoding="utf-8")
    (folder / f"{carrier}.csv").write_text(prices, encoding="utf-8")
    read = parsed(f"{carrier}.toml", rules, lambda name: chart if name.endswith("zones.csv") else prices)
    return read, literal_rating.read_tariff(folder / f"{carrier}.toml")


def zone_by_chart(carrier: str, code: str) -> str | None:
    """The zone of the entry that says most of the code; None where none does, or where a longer one says otherwise."""
    entries = [line.split(",") for line in CHARTS[carrier].split()]
    chart = [{"destination": destination, "zone": zone} for destination, zone in entries]
    zone = literal_places.zone_of(code, chart)
    listed = literal_places.as_listed(code)
    further = {row["zone"] for row in chart if row["destination"].startswith(listed) and row["destination"] != listed}
    return None if further - {zone} else zone


def days_of(tariff: literal_rating.Tariff, zone: str | None) -> int | None:
    found = [row["days"] for row in tariff.rules["promises"] if zone in row["zones"]]
    return int(found[0]) if found else None


def literal_cents(parcel: Mapping[str, Any], zone: str, tariff: literal_rating.Tariff) -> int | None:
    sides = (parcel["length_in"], parcel["width_in"], parcel["height_in"])
    facts = literal_rating.Parcel(
        *("plain", zone, parcel["shipped_on"], sides, parcel["scale_weight_lb"], parcel["is_rectangular"]),
        *(parcel["is_residential"], parcel["destination_prefix"] or "", parcel["declared_value_cents"]),
    )
    rated = literal_rating.rate(facts, tariff)
    return None if rated.reason else rated.total_cents


def referee(parcel: Mapping[str, Any], lists: Mapping[str, literal_rating.Tariff]) -> int | None:
    """What the other carrier's tariff makes of the parcel; None where it is not compared."""
    own, (other,) = lists[parcel["carrier"]], [name for name in lists if name != parcel["carrier"]]
    code = parcel["destination_prefix"]
    zone = zone_by_chart(other, code) if code else None
    before, after = days_of(own, parcel["zone"]), days_of(lists[other], zone)
    if parcel["shipment_id"] or zone is None or before is None or after is None or after > before:
        return None
    return literal_cents(parcel, zone, lists[other]) if literal_cents(parcel, parcel["zone"], own) is not None else None


def drawn(source: random.Random, number: int) -> dict[str, Any]:
    """A parcel of either carrier; some go without a destination, or two as one shipment."""
    stated = random_parcel(source, source.choice(["trial", "other"]), ("plain",), "23")
    stated |= dict(zip(SIDES, sorted((stated[side] for side in SIDES), reverse=True), strict=True))
    stated["destination_prefix"] = source.choice([stated["destination_prefix"]] * 9 + [None])
    return {"parcel_id": f"P{number:03d}", "sale_id": f"S{number}", **stated, "shipment_id": None}


@pytest.mark.parametrize("seed", range(tries(30)))
def test_a_literal_reading_of_both_tariffs_agrees_to_the_cent(seed: int, tmp_path: Path) -> None:
    source = random.Random(seed)
    both = {carrier: written(tmp_path, carrier, random_list(source, carrier)) for carrier in ("trial", "other")}
    parcels = [drawn(source, number) for number in range(120)]
    for pair in range(4):
        facts = {name: parcels[pair][name] for name in ("carrier", "zone", "shipped_on", "destination_prefix")}
        parcels += [{**parcels[pair], **facts, "parcel_id": f"Q{pair}"}]
        parcels[pair]["shipment_id"] = parcels[-1]["shipment_id"] = f"T{pair}"
    with compared([tariff for tariff, _ in both.values()], parcels) as connection:
        found = {row["parcel_id"]: row for row in rows(connection, COMPARED)}
    assert len(found) == len(parcels)
    lists = {carrier: read for carrier, (_, read) in both.items()}
    expected = {parcel["parcel_id"]: referee(parcel, lists) for parcel in parcels}
    assert {name: row["other_cents"] for name, row in found.items()} == expected
    assert all((row["other_cents"] is None) == (row["not_compared"] is not None) for row in found.values())
    assert 0 < sum(cents is not None for cents in expected.values()) < len(parcels)
