"""Units of measures: stated by map, header or cell, or asked for; never the contract's own unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.column_map.headers import stated_unit
from models.fields import Quantity
from pipelines.intake import replaying
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import SmallShop, source

BILL: dict[str, str | ColumnSource] = {
    "carrier": ColumnSource(value="Northline"),
    "invoice_number": "No",
    "line_number": ColumnSource(value="1"),
    "invoiced_on": ColumnSource(value="2026-01-31"),
    "charge_code": ColumnSource(value="BASE"),
    "charge_kind": ColumnSource(value="base"),
    "parcel_id": ColumnSource(value="NL1"),
}
STORED = "select amount_cents, billed_weight_lb from accepted.charges order by invoice_number"


def shop_with(folder: Path, weight: str, amount: str = "Net") -> SmallShop:
    columns = {**BILL, "billed_weight_lb": weight, "amount_cents": amount}
    return SmallShop(folder, [source("bill", "charges", "b*", columns, decimal=".")])


@pytest.mark.parametrize("header", ["Weight (kg)", "Gewicht kg", "weight_kg", "weight in kilograms"])
def test_the_header_states_the_unit(tmp_path: Path, header: str) -> None:
    shop = shop_with(tmp_path, header)
    shop.take_one("b.csv", f"No,Net,{header}\nA,12.50,2.26796185\n")
    assert shop.rows(STORED) == [(1250, 5.0)]
    assert int(replaying.compare(shop.settings)["differing_count"].sum()) == 0


def test_a_header_of_cents_is_taken_at_its_word(tmp_path: Path) -> None:
    shop = shop_with(tmp_path, "weight_lb", "amount_cents")
    shop.take_one("b.csv", "No,amount_cents,weight_lb\nA,1250,5\n")
    assert shop.rows(STORED) == [(1250, 5.0)]


def test_a_measure_without_any_unit_is_asked_about(tmp_path: Path) -> None:
    reported = shop_with(tmp_path, "Weight").refused("b.csv", "No,Net,Weight\nA,12.50,5\n")
    assert "billed_weight_lb: neither the header 'Weight' nor its cells nor the map state a unit" in reported
    assert 'billed_weight_lb = { column = "Weight", unit = "lb" }' in reported


def test_among_cells_with_a_unit_those_without_are_rejected(tmp_path: Path) -> None:
    shop = shop_with(tmp_path, "Weight")
    shop.take_one("b.csv", "No,Net,Weight\nA,12.50,80 oz\nB,1.00,5\nC,1.00,\n")
    assert shop.rows(STORED) == [(1250, 5.0), (100, None)]
    assert shop.rejected() == [(2, "billed_weight_lb", "has no unit; state `unit` in the column map")]


@pytest.mark.parametrize(
    ("written", "wanted", "unit"),
    [
        ("Weight, g", Quantity.WEIGHT, "g"),
        ("weight_g", Quantity.WEIGHT, "g"),
        ("weight in grams", Quantity.WEIGHT, "g"),
        ("Height [mm]", Quantity.LENGTH, "mm"),
        ("cut_height_in", Quantity.LENGTH, "in"),
        ("Weight (lb/kg)", Quantity.WEIGHT, None),
        ("Weight", Quantity.WEIGHT, None),
        ("Weight (cm)", Quantity.WEIGHT, None),
        ("Big box", Quantity.LENGTH, None),
    ],
)
def test_what_a_header_states(written: str, wanted: Quantity, unit: str | None) -> None:
    assert stated_unit(written, wanted) == unit


def test_an_older_delivery_is_read_as_it_was(tmp_path: Path) -> None:
    import hashlib
    import json

    shop = shop_with(tmp_path, "weight_lb")
    shop.take_one("b.csv", "No,Net,weight_lb\nA,12.50,5\n")
    path = tmp_path / "archive" / "delivery-000001.json"
    entry = json.loads(path.read_text(encoding="utf-8"))
    del entry["needs_units"]
    entry["source"]["columns"]["billed_weight_lb"]["unit"] = None
    text = json.dumps(entry).encode()
    path.write_bytes(text)
    with warehouse.writing(shop.settings, "test") as connection:
        connection.execute("update intake.archived set entry_hash = ?", [hashlib.sha256(text).hexdigest()])
    assert int(replaying.compare(shop.settings)["differing_count"].sum()) == 0
