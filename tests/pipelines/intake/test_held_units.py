"""A file whose measures are off by a unit's factor waits until the map or `--unit` states the unit."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from pipelines.intake.mapping import answers_of, propose_for
from pipelines.intake.mapping.writing import write_source
from pipelines.shop import settings
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import SmallShop, source

GOODS = {"tube": 14.2, "tripod": 11.4, "mount": 22.8, "eyepiece": 0.9}
COLUMNS: dict[str, str | ColumnSource] = {
    "parcel_id": "parcel",
    "sale_id": "sale",
    "line_number": ColumnSource(value="1"),
    "packed_quantity": "pieces",
    "shipped_on": "day",
    "carrier": ColumnSource(value="Northline"),
    "service": ColumnSource(value="ground"),
    "scale_weight_lb": "weight [lb]",
    "length_in": "L in",
    "width_in": "W in",
    "height_in": "H in",
}
BENCH = source("bench", "weights", "bench*", COLUMNS)
SALES = source("sales", "sales", "sales*")
HEAD = "parcel,sale,pieces,day,weight [lb],L in,W in,H in\n"


def parcels(first: int, count: int = 40, *, factor: float = 1.0, length: float = 1.0, only: str = "") -> str:
    chance = random.Random(first)
    rows = []
    for number in range(first, first + count):
        goods = only or list(GOODS)[number % 4]
        weight = GOODS[goods] * chance.uniform(1.02, 1.1) * factor
        sides = ",".join(f"{side * length:.3f}" for side in (48, 12, 12))
        rows.append(f"P{number},S-{number},1,2026-10-05,{weight:.4f},{sides}\n")
    return HEAD + "".join(rows)


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    shop = SmallShop(tmp_path, [SALES, BENCH])
    head = "sale_id,line_number,sold_at,item_type,quantity,item_price_cents,shipping_charged_cents\n"
    goods = list(GOODS)
    sold = "".join(f"S-{number},1,2026-10-01,{goods[number % 4]},1,1,1\n" for number in range(400))
    columns = dict.fromkeys(head.strip().split(","))
    shop.sources = [source("sales", "sales", "sales*", {name: name for name in columns}), BENCH]
    shop.take_one("sales.csv", head + sold)
    return shop


def test_a_file_off_by_a_unit_waits_and_is_landed_when_the_unit_is_stated(shop: SmallShop) -> None:
    shop.take_one("bench-1.csv", parcels(0))
    refused = shop.refused("bench-2.csv", parcels(100, factor=0.45359237))
    assert "scale_weight_lb, read in lb, is off by a unit" in refused
    assert "what is stored of the same item type, as if it were in kg" in refused
    assert "--unit scale_weight_lb=kg" in refused
    assert shop.rows("select count(*) from accepted.weights") == [(40,)]
    (delivery,) = shop.import_files("bench-2.csv", units={"scale_weight_lb": "kg"})
    assert delivery.error is None and delivery.accepted_count == 40
    mean = "select round(avg(scale_weight_lb), 0) from accepted.weights where parcel_id >= 'P100' and parcel_id < 'P11'"
    assert shop.rows(mean)[0][0] == pytest.approx(13, abs=1)


def test_a_unit_that_is_stated_is_not_doubted(shop: SmallShop) -> None:
    shop.take_one("bench-1.csv", parcels(0))
    shop.put("bench-2.csv", parcels(100, factor=0.45359237))
    (delivery,) = shop.import_files("bench-2.csv", units={"scale_weight_lb": "lb"})
    assert delivery.error is None and delivery.accepted_count == 40


def test_the_first_file_is_held_where_its_density_is_impossible(shop: SmallShop) -> None:
    assert "scale_weight_lb, read in lb" in shop.refused("bench-1.csv", parcels(0, factor=453.59237, only="tube"))
    assert "length_in, read in in" in shop.refused("bench-2.csv", parcels(0, length=10, only="tube"))


def test_feathers_and_lead_are_not_held(shop: SmallShop) -> None:
    """A month of nothing but the lightest goods, then one of nothing but the heaviest."""
    shop.take_one("bench-1.csv", parcels(0))
    head = HEAD + "".join(f"F{number},S-{4 * number + 3},1,2026-10-05,0.95,48,12,12\n" for number in range(40))
    shop.take_one("bench-2.csv", head)
    heavy = HEAD + "".join(f"H{number},S-{4 * number + 2},1,2026-10-05,23.9,12,9,9\n" for number in range(40))
    shop.take_one("bench-3.csv", heavy)


def test_a_unit_of_no_column_is_named(shop: SmallShop) -> None:
    from models.errors import ColumnMapError

    shop.put("bench-1.csv", parcels(0))
    with pytest.raises(ColumnMapError, match="is no column of these files"):
        shop.import_files("bench-1.csv", units={"billed_weight_lb": "kg"})
    with pytest.raises(ColumnMapError, match="is no unit of scale_weight_lb"):
        shop.import_files("bench-1.csv", units={"scale_weight_lb": "cm"})


def test_a_unit_that_is_right_for_good_holds_no_file(shop: SmallShop) -> None:
    """Light goods of another make: the owner has said that they are in pounds."""
    shop.take_one("bench-1.csv", parcels(0))
    assert "write unit_is_right = true" in shop.refused("bench-2.csv", parcels(100, factor=0.45359237))
    said = ColumnSource("weight [lb]", unit="lb", unit_is_right=True)
    shop.sources = [shop.sources[0], source("bench", "weights", "bench*", {**COLUMNS, "scale_weight_lb": said})]
    shop.take_one("bench-3.csv", parcels(100, factor=0.45359237))
    shop.take_one("bench-4.csv", parcels(200, factor=0.45359237))


def test_map_writes_that_a_unit_is_right(tmp_path: Path) -> None:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\nunits = "inch"\n')
    (tmp_path / "bench-1.csv").write_text("Tracking number,Carton,Packing method,Scale weight (lb)\nP1,C1,foam,9.5\n")
    answers = answers_of((), (), right_units=frozenset({"scale_weight_lb"}))
    write_source(tmp_path, propose_for(tmp_path / "bench-1.csv", "weights", answers=answers))
    (written,) = settings.load(tmp_path).sources
    assert written.columns["scale_weight_lb"].unit_is_right and written.columns["scale_weight_lb"].column
