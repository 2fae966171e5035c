"""Cells and headers in which a unit is easily read wrong: each is stored right, or asked about, never guessed."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import pytest

from models.column_map.headers import stated_unit
from models.fields import Quantity
from models.settings.sources import ColumnSource
from tests.pipelines.intake.small_shop import SmallShop, source

# 1 in = 2.54 cm, 1 ft = 12 in, 1 lb = 0.45359237 kg = 16 oz, all exact: A. Thompson, B. N. Taylor, "Guide for the Use
# of the International System of Units (SI)", NIST Special Publication 811, 2008, appendix B.8 and B.9.
CM, FT, KG, OZ = 1 / Fraction("2.54"), Fraction(12), 1 / Fraction("0.45359237"), Fraction(1, 16)
LENGTH, WEIGHT = "billed_length_in", "billed_weight_lb"
# Cells of a column for which neither map nor header states a unit. None: rejected.
CELLS = (
    (WEIGHT, "1200 g", 1200 * KG / 1000),
    (WEIGHT, "1 200 g", 1200 * KG / 1000),
    (WEIGHT, "500G", 500 * KG / 1000),
    (WEIGHT, "12 oz", 12 * OZ),
    (WEIGHT, "3 lb 4 oz", 3 + 4 * OZ),
    (WEIGHT, "3 lbs. 4 oz.", 3 + 4 * OZ),
    (WEIGHT, "1lb8oz", 1 + 8 * OZ),
    (WEIGHT, "2 lb, 3.5 oz", 2 + Fraction("3.5") * OZ),
    (WEIGHT, "3 lb 20 oz", None),  # 20 oz make up a pound: one of the two numbers is wrong
    (WEIGHT, "3 lb 4", None),
    (WEIGHT, "3 lb 4 g", None),
    (WEIGHT, "3.4 lb/oz", None),
    (WEIGHT, "3:4", None),
    (WEIGHT, "5 kg 300 g", Fraction("5.3") * KG),
    (WEIGHT, "5 kg 1300 g", None),
    (WEIGHT, "2 kgs", 2 * KG),
    (WEIGHT, "6 3/4 lb", Fraction("6.75")),
    (WEIGHT, "8#", None),
    (WEIGHT, "12 gr", None),  # grams in some places, grains in others
    (WEIGHT, "10 fl oz", None),  # a volume
    (WEIGHT, "12", None),
    (WEIGHT, "12 in", None),
    (LENGTH, "1219.2 mm", Fraction(48)),
    (LENGTH, "121.92cm", Fraction(48)),
    (LENGTH, "1 m 20 cm", 120 * CM),
    (LENGTH, "2 metres", 200 * CM),
    (LENGTH, "5'6\"", 66 + 0 * FT),
    (LENGTH, "5' 6 1/2\"", 5 * FT + Fraction("6.5")),
    (LENGTH, "5' 6", None),
    (LENGTH, "5'12\"", None),
    (LENGTH, "4 ft 2 in", 4 * FT + 2),
    (LENGTH, "12 1/4 in", Fraction("12.25")),
    (LENGTH, "12-1/4″", Fraction("12.25")),
    (LENGTH, "½ in", Fraction(1, 2)),
    (LENGTH, "1/0 in", None),
    (LENGTH, "1 1/2", None),
    (LENGTH, "3''", Fraction(3)),
    (LENGTH, "48 x 8 in", None),
    (LENGTH, "48-50 in", None),
    (LENGTH, "~48 in", None),
    (LENGTH, "48 Zoll lang", None),
)


COLUMNS: dict[str, str | ColumnSource] = {
    "carrier": ColumnSource(value="Northline"),
    "invoice_number": "No",
    "line_number": ColumnSource(value="1"),
    "invoiced_on": ColumnSource(value="2026-01-31"),
    "charge_code": ColumnSource(value="BASE"),
    "charge_kind": ColumnSource(value="base"),
    "amount_cents": ColumnSource(value="1.00"),
    WEIGHT: "Weight",
    LENGTH: "Longest",
    "billed_width_in": "Other",
    "billed_height_in": "Other",
}


def landed(folder: Path, cells: Sequence[tuple[str, str]]) -> tuple[dict[int, float], int]:
    """What is stored of each cell, by its place, and how many rows are rejected."""
    shop = SmallShop(folder, [source("bill", "charges", "b*", COLUMNS, delimiter="|")])
    places = {WEIGHT: "{0}|{1}||", LENGTH: "{0}||{1}|1 mm"}
    lines = [places[name].format(at, text) for at, (name, text) in enumerate(cells)]
    shop.take_one("b.csv", "\n".join(["No|Weight|Longest|Other", *lines]) + "\n")
    stored = shop.rows(f"select cast(invoice_number as integer), coalesce({WEIGHT}, {LENGTH}) from accepted.charges")
    return {row[0]: row[1] for row in stored}, len(shop.rejected())


@pytest.mark.published
def test_each_cell_is_stored_right_or_rejected(tmp_path: Path) -> None:
    stored, rejected = landed(tmp_path, [(name, text) for name, text, _ in CELLS])
    expected = {at: float(value) for at, (_, _, value) in enumerate(CELLS) if value is not None}
    assert stored == pytest.approx(expected, abs=1e-6)
    assert rejected == len(CELLS) - len(expected)


def test_a_point_before_three_digits_is_asked_about(tmp_path: Path) -> None:
    """1.2 g or 1,200 g: no cell of the column proves it."""
    stored, rejected = landed(tmp_path, [(WEIGHT, "1.200 g"), (WEIGHT, "500 g")])
    assert (list(stored), rejected) == ([1], 1)


@pytest.mark.parametrize(
    ("header", "wanted", "unit"),
    [
        ("Weight lbs oz", Quantity.WEIGHT, None),  # two units in one cell, and no cell says which is which
        ("Weight (lb/oz)", Quantity.WEIGHT, None),
        ("Height ft in", Quantity.LENGTH, None),
        ("Height in ft", Quantity.LENGTH, "ft"),
        ("Length in cm", Quantity.LENGTH, "cm"),
        ("Weight in kg", Quantity.WEIGHT, "kg"),
        ("Weight in", Quantity.WEIGHT, None),
        ("Length in", Quantity.LENGTH, "in"),
        ("Länge (Zoll)", Quantity.LENGTH, "in"),
        ("Weight lb (kg)", Quantity.WEIGHT, None),
        ("wt_oz", Quantity.WEIGHT, "oz"),
    ],
)
def test_a_header_of_two_units_states_none(header: str, wanted: Quantity, unit: str | None) -> None:
    assert stated_unit(header, wanted) == unit
