"""The price of a class in a carton is that of each of its parcels, rated by itself with all that is known of it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pandas as pd
import pytest

from models.carton_choice.offers import Offers
from models.settings.cartons import Cartons
from models.tables.rating import PRICED
from pipelines.build import rating
from pipelines.build.cartons import classes
from pipelines.shop import warehouse
from tests.pipelines.parcels import JUDGED, demo_tariffs
from tests.shops import built

SENT = (
    ("Northline", "ground", "5"),
    ("Northline", "express", "3"),
    ("Corvane", "economy", "4"),
    ("Corvane", "standard", "2"),
)
# Nothing when rounded, either side of a pound, and more than the services' steps.
WEIGHTS_LB = (0.0001, 0.01, 12.9999, 13.0, 13.0001, 13.4, 21.0, 49.9, 68.0)
PREFIXES = ("038", "999", "100", None)
DECLARED_CENTS = (None, 0, 4_999, 10_000, 10_001, 123_456, 9_999_900)
# Fuel changes between them, and a catalogue.
DAYS = ("2025-11-20", "2026-02-20", "2026-03-02", "2026-03-12", "2026-10-02")
CATALOGUE = [
    {"carton_code": "LONG", "inside_height_in": 48.5, "is_cuttable": True, "minimum_height_in": 20},
    {"carton_code": "SHORT", "inside_height_in": 45.5},
    {"carton_code": "SHORT", "inside_height_in": 46.0, "effective_from": "2026-03-05"},
]
SIDES = {"inside_length_in": 8.5, "inside_width_in": 8.5, "board_in": 0.16}

EVERY_PARCEL = """
create or replace table cartons.every_parcel as
select
    p.parcel_id || ' ' || cast(o.option_key as varchar) as request_id,
    r.* exclude (request_id, length_in, width_in, height_in, is_rectangular, sides_source),
    o.length_in, o.width_in, o.height_in, o.is_rectangular,
    k.class_key, o.option_key, o.unit_cost_cents + o.cut_cents as carton_cents
from cartons.parcels as p
inner join cartons.classes as k on k.packed_contents_key = p.packed_contents_key and k.conditions_key = p.conditions_key
inner join rating.requests as r on r.request_id = p.parcel_id
inner join cartons.pairs as h on h.contents_key = k.contents_key
inner join cartons.offers as o on o.option_key = h.option_key
    and (o.effective_from is null or r.shipped_on >= o.effective_from)
    and (o.effective_before is null or r.shipped_on < o.effective_before)
"""
COMPARED = """
select
    count(*) as pair_count,
    count(case when q.expected_cents + e.carton_cents is distinct from c.price_cents then 1 end) as differing_count,
    count(q.expected_cents) as priced_count
from cartons.every_parcel as e
inner join by_parcel.priced as q on q.request_id = e.request_id
left join cartons.prices as c on c.class_key = e.class_key and c.option_key = e.option_key
"""


def parcels(count: int) -> list[dict[str, Any]]:
    chance = random.Random(6)
    rows = []
    for number in range(count):
        carrier, service, zone = chance.choice(SENT)
        rows.append(
            {
                "parcel_id": f"P{number}",
                "sale_id": "S1",
                "carrier": carrier,
                "service": service,
                "zone": zone,
                "shipped_on": chance.choice(DAYS),
                "scale_weight_lb": chance.choice(WEIGHTS_LB),
                "destination_prefix": chance.choice(PREFIXES),
                "declared_value_cents": chance.choice(DECLARED_CENTS),
                "is_residential": chance.choice([True, False, None]),
                "carton_code": "LONG",
                "packing_method": "paper",
            }
        )
    return rows


def compared(connection: warehouse.Connection) -> tuple[int, int, int]:
    """How many parcels were put into how many cartons, how many prices differ, and how many there are."""
    connection.execute(EVERY_PARCEL)
    rating.rate(connection, "cartons.every_parcel", "by_parcel", until=PRICED)
    ((pairs, differing, priced),) = connection.execute(COMPARED).fetchall()
    return pairs, differing, priced


@contextmanager
def shop(parcel_count: int) -> Iterator[warehouse.Connection]:
    """A built shop of tripods, with room for the working tables of the choice of cartons."""
    with (
        built(
            price_lists=demo_tariffs(),
            sales=[{"sale_id": "S1"}],
            weights=parcels(parcel_count),
            cartons=[{**SIDES, **entry} for entry in CATALOGUE],
            item_types=[{"item_type": "tripod", "length_in": 43, "may_lie_under": True}],
            packing_methods=[{"packing_method": "paper"}],
            needed=JUDGED,
        ) as connection,
        classes.working(connection),
    ):
        yield connection


@pytest.mark.parametrize("rounds", [1, classes.ROUNDS])
def test_what_no_placement_proves_is_not_chosen(monkeypatch: pytest.MonkeyPatch, rounds: int) -> None:
    """Here no placement of the tripod in LONG stands the check, whole or cut."""

    def unproved(asked: pd.DataFrame, contents: object, offered: Offers, known: object) -> pd.DataFrame:
        return asked[(offered.rows["carton_code"] == "LONG").to_numpy()[asked["option_key"]]]

    with shop(40) as connection:
        _, offered, before, _ = classes.choose(connection, Cartons())
        monkeypatch.setattr("models.carton_choice.fits.unproved", unproved)
        monkeypatch.setattr(classes, "ROUNDS", rounds)
        _, _, after, _ = classes.choose(connection, Cartons())
    codes = [offered.rows["carton_code"].to_numpy()[rows["option_key"]] for rows in (before, after)]
    assert "LONG" in codes[0]
    assert "LONG" not in codes[1] and "SHORT" in codes[1]


def test_a_class_is_priced_like_each_of_its_parcels() -> None:
    with shop(600) as connection:
        classes.choose(connection, Cartons())
        pairs, differing, priced = compared(connection)
        (trips, every) = connection.execute(
            "select count(distinct trip_key), count(*) from cartons.classes"
        ).fetchall()[0]
    assert differing == 0
    assert priced > 1000 and pairs >= priced
    assert trips < every, "no two classes differ in fuel only"
