"""Sides of parcels and item types come in any order; those of cartons say which is the opening."""

from __future__ import annotations

import hashlib
import json
from itertools import permutations
from pathlib import Path

import pytest

from models.reference import RECORDS
from pipelines.intake import replaying
from pipelines.shop import warehouse
from tests.pipelines.intake.small_shop import SmallShop, source

BENCH = source("bench", "weights", "bench*", decimal=".")
ITEM_TYPES = source("types", "item_types", "types*", decimal=".")
CARTONS = source("cartons", "cartons", "cartons*", decimal=".")
SIDES = ("length_in", "width_in", "height_in")
ROW = {"line_number": "1", "packed_quantity": "1", "shipped_on": "2026-10-05", "carrier": "Northline", "service": "g"}


def bench(*sides: tuple[str, ...], **more: str) -> str:
    head = list(RECORDS["weights"].columns)
    rows = [
        {"parcel_id": f"P{n}", "sale_id": f"S{n}", **ROW, **dict(zip(SIDES, each, strict=True)), **more}
        for n, each in enumerate(sides)
    ]
    return "\n".join([",".join(head), *(",".join(row.get(name, "") for name in head) for row in rows)]) + "\n"


def test_every_order_of_a_parcels_sides_is_the_same_parcel(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [BENCH])
    delivery = shop.take_one(
        "bench.csv", bench(*permutations(("48.5", "9.25", "8.125")), ("7", "7", "7"), ("", "", ""))
    )
    assert (delivery.accepted_count, delivery.rejected_count) == (8, 0)
    found = shop.rows("select length_in, width_in, height_in from accepted.weights order by parcel_id")
    assert found == [(48.5, 9.25, 8.125)] * 6 + [(7, 7, 7), (None, None, None)]
    assert delivery.notes == ("in 5 rows the sides were sorted, the longest first",)


def test_cells_that_need_a_second_reading_are_sorted_too(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [BENCH])
    delivery = shop.take_one("bench.csv", bench(("9 1/4", "48 in", "8"), ("1", "2", "3")))
    found = shop.rows("select length_in, width_in, height_in from accepted.weights order by parcel_id")
    assert found == [(48, 9.25, 8), (3, 2, 1)]
    assert "in 2 rows the sides were sorted" in delivery.notes[-1]


@pytest.mark.parametrize(
    ("sides", "column"),
    [(("10", "0", "5"), "width_in"), (("10", "20", ""), "width_in"), (("5", "1001", "8"), "width_in")],
)
def test_a_broken_row_names_its_own_column(tmp_path: Path, sides: tuple[str, ...], column: str) -> None:
    shop = SmallShop(tmp_path, [BENCH])
    shop.take_one("bench.csv", bench(sides))
    assert [place for _, place, _ in shop.rejected()] == [column]


def test_an_item_type_keeps_the_side_that_stands_on_its_base(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [ITEM_TYPES])
    head = ",".join(RECORDS["item_types"].columns)
    delivery = shop.take_one("types.csv", f"{head}\nvase,6,8,20,4,upright,,,,\nlens,8,6,2,4,any,,,,\n")
    found = shop.rows("select item_type, length_in, width_in, height_in from accepted.item_types order by 1")
    assert found == [("lens", 8, 6, 2), ("vase", 8, 6, 20)]
    assert delivery.notes == ("in 1 row the sides were sorted, the longest first",)


def test_a_carton_keeps_its_opening(tmp_path: Path) -> None:
    shop = SmallShop(tmp_path, [CARTONS])
    head = list(RECORDS["cartons"].columns)
    row = {
        "carton_code": "C1",
        "effective_from": "2026-01-01",
        "inside_length_in": "8",
        "inside_width_in": "48",
        "inside_height_in": "8",
        "unit_cost_cents": "250",
    }
    shop.take_one("cartons.csv", f"{','.join(head)}\n{','.join(row.get(name, '') for name in head)}\n")
    ((_, column, reason),) = shop.rejected()
    assert (column, reason) == ("inside_width_in", "inside_width_in is more than inside_length_in")


def test_a_delivery_of_before_is_read_as_it_was(tmp_path: Path) -> None:
    """Its rows out of order were rejected, and a replay must find them so."""
    shop = SmallShop(tmp_path, [BENCH])
    shop.take_one("bench.csv", bench(("48", "9", "8"), ("9", "48", "8")))
    path = tmp_path / "archive" / "delivery-000001.json"
    entry = json.loads(path.read_text(encoding="utf-8"))
    del entry["is_sorted"]
    text = json.dumps(entry).encode()
    path.write_bytes(text)
    with warehouse.writing(shop.settings, "test") as connection:
        connection.execute("update intake.archived set entry_hash = ?", [hashlib.sha256(text).hexdigest()])
    compared = replaying.compare(shop.settings)
    differing = compared[compared["differing_count"] > 0]
    assert {"accepted.weights", "rejected.rows"} <= set(differing.iloc[:, 0])
