"""Cells with three sides: given cells, given sides; of any cell the engine takes the side that Python takes."""

from __future__ import annotations

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.cells.numbers import Unreadable
from models.cells.three_sides import SIDES, order, side, side_sql
from models.cells.units import measured
from models.fields import Quantity


@pytest.mark.parametrize(
    ("cell", "inches"),
    [
        ("48 x 8 x 6", (48, 8, 6)),
        ("48x8x6 in.", (48, 8, 6)),
        ('48" × 8 1/2" × 6"', (48, 8.5, 6)),
        ("121,92*20,32*15,24 cm", (48, 8, 6)),
        ("48 by 8 BY 6", (48, 8, 6)),
        ('4\' 2" x 8" x 6"', (50, 8, 6)),
        ("4 ft x 8 x 6 in", (48, 8, 6)),
    ],
)
def test_each_side_is_read_with_its_unit(cell: str, inches: tuple[float, ...]) -> None:
    read = [measured(side(cell, number), Quantity.LENGTH, "in", None) for number in (1, 2, 3)]
    assert read == pytest.approx(inches, abs=1e-6)


@pytest.mark.parametrize("cell", ["48", "48 x 8", "1 x 2 x 3 x 4", "box 3"])
def test_no_number_of_another_cell_is_taken_for_a_side(cell: str) -> None:
    with pytest.raises(Unreadable, match="does not hold three sides"):
        measured(side(cell, 1), Quantity.LENGTH, "in", None)


@pytest.mark.parametrize(
    ("header", "sides"),
    [
        ("Outside cm", SIDES),
        ("Inside mm (LxWxH)", SIDES),
        ("Maße (L x B x H) in cm", SIDES),
        ("Dims W x L x H", ("width", "length", "height")),
        ("L×W×D", SIDES),
        ("H x B x T", SIDES),
        ("Box x by y", SIDES),
    ],
)
def test_the_header_says_the_order_where_it_names_all_three(header: str, sides: tuple[str, ...]) -> None:
    assert tuple(order(header)) == sides


@given(st.text("0123456789.,/ xX×*bycminft\"'\u00a0", max_size=24).map(str.strip), st.integers(1, 3))
def test_the_engine_takes_the_side_that_python_takes(cell: str, number: int) -> None:
    found = duckdb.execute(f"select {side_sql('$cell', number)}", {"cell": cell or None}).fetchall()[0][0]
    assert (found or "") == side(cell, number)
