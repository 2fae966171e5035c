"""Rows of a sample that are shorter than its header keep their cells under their own headers."""

from __future__ import annotations

from models.column_map import Sample, parted


def test_a_short_row_lacks_its_last_cells_and_no_other() -> None:
    sample = Sample(("Label", "Outside cm", "Note"), (("P1", "48 x 8 x 6", "fine"), ("P2", "30 x 20 x 10"), ("P3",)))
    found, sides = parted(sample)
    assert found.headers == ("Label", "Note", "Outside cm: length", "Outside cm: width", "Outside cm: height")
    assert found.rows == (("P1", "fine", "48", "8", "6"), ("P2", "", "30", "20", "10"), ("P3", "", "", "", ""))
    assert sides.parted == {"Outside cm"}
