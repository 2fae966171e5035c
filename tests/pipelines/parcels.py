"""Requests for the rating, and a scratch warehouse that holds some tariffs."""

from __future__ import annotations

import atexit
import random
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd

from models.tariffs.rules import Tariff
from pipelines.build import rating, tariffs
from pipelines.shop import warehouse

DEMO = Path(__file__).parent.parent.parent / "sample_data" / "tariffs"
# What judging cartons reads, and what plans to join and split parcels read.
JUDGED = (
    *("core.carton_demand", "core.class_parcels", "core.length_limits", "rating.class_prices", "rating.priced"),
    *("marts.carton_stock", "marts.carton_days", "core.telescoped_cartons", "core.renamed_cartons"),
    "core.current_packing_methods",
)
DEFAULTS: dict[str, Any] = {
    "carrier": "trial",
    "service": "plain",
    "zone": "2",
    "shipped_on": date(2025, 6, 2),
    "length_in": 12.0,
    "width_in": 8.0,
    "height_in": 4.0,
    "is_rectangular": True,
    "scale_weight_lb": 1.0,
    "is_residential": False,
    "destination_prefix": None,
    "declared_value_cents": 0,
}


def requests(*stated: dict[str, Any]) -> pd.DataFrame:
    """One request for each mapping; what it does not state is of a small parcel in zone 2 under the tariff `trial`."""
    return pd.DataFrame([{"request_id": f"R{n:06d}"} | DEFAULTS | row for n, row in enumerate(stated)])


def sides(length: float, width: float, height: float) -> dict[str, float]:
    """Outside sides in inches."""
    return {"length_in": length, "width_in": width, "height_in": height}


@contextmanager
def holding(found: Sequence[Tariff]) -> Iterator[warehouse.Connection]:
    """A warehouse in memory with these tariffs."""
    with warehouse.scratch() as connection:
        tariffs.write(connection, found)
        yield connection


@cache
def demo_tariffs() -> tuple[Tariff, ...]:
    """The demo shop's tariffs, read once."""
    found = [tariffs.check(file)[0] for file in sorted(DEMO.glob("*.toml"))]
    return tuple(tariff for tariff in found if tariff)


def rated(found: Sequence[Tariff], *stated: dict[str, Any]) -> pd.DataFrame:
    """The rated rows of some requests under some tariffs, in their order; tariffs rated by before are replaced."""
    tariffs.write(connection := _kept(), found)
    return rated_rows(connection, requests(*stated))


@cache
def _kept() -> warehouse.Connection:
    """A warehouse in memory for as long as this process lives: to open one takes a third of what it takes to rate."""
    kept = ExitStack()
    atexit.register(kept.close)
    return kept.enter_context(warehouse.scratch())


def random_parcel(source: random.Random, carrier: str, services: tuple[str, ...], zones: str) -> dict[str, Any]:
    """A parcel of any shape; half of them long and thin, with round and with crooked sides."""
    grain = source.choice([1, 0.25, 0.1, 0.01])
    most = source.choice([(20, 20, 20), (60, 20, 12), (110, 30, 30)])
    found = [max(round(round(source.uniform(2, side) / grain) * grain, 2), 0.5) for side in most]
    return sides(*found) | {
        "carrier": carrier,
        "service": source.choice(services),
        "zone": source.choice(zones),
        "shipped_on": date(2025, 5, 1) + timedelta(source.randrange(580)),
        "is_rectangular": source.random() < 0.7,
        "scale_weight_lb": round(source.uniform(0.2, source.choice([10, 60, 70])), 2),
        "is_residential": source.random() < 0.7,
        "destination_prefix": source.choice(
            ["597", "100", "995", "200", "59712", "5981", "IV12 3AB", "iv53ab", "IV5", "IV13", "AB1 2CD"]
        ),
        "declared_value_cents": source.choice([0, 9_999, 10_000, 10_001, source.randrange(200_000)]),
    }


def rated_rows(connection: warehouse.Connection, asked: pd.DataFrame) -> pd.DataFrame:
    """The rated rows of a few requests, in their order: columns of the contract rating.rated."""
    rating.rate(connection, asked)
    rows = connection.execute("select * from whatif.rated").df()
    return asked[["request_id"]].merge(rows, on="request_id", how="left", validate="one_to_one")
