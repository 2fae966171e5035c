"""A column with all three sides of a parcel or carton: proposed, written, and read; one number is never three."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.intake.mapping import FileProposal, propose_for, stated_pairings
from pipelines.intake.mapping.writing import write_source
from pipelines.shop import settings
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.small_shop import SmallShop

BENCH = """\
Label,Box,Method,Outside cm
P1,LONG,foam,121.92 x 20.32 x 15.24
P2,LONG,foam,50.8x127x25.4
P3,LONG,foam,
P4,CUBE,foam,48
P5,CUBE,foam,18 in x 18 in x 18 in
P6,CUBE,foam,30 × 20 × 10 in
"""
BOXES = """\
Box,Inside mm (BxLxH),Outside mm,Price of one,Since
LONG,203 x 1219 x 152,1229 x 213 x 172,4.15,2026-01-01
"""


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\nname = "Test"\n', encoding="utf-8")
    return SmallShop(tmp_path)


def proposed(shop: SmallShop, name: str, content: str, *columns: str, kind: str | None = None) -> FileProposal:
    return propose_for(shop.put(name, content), kind, stated=stated_pairings(columns, []))


def origins(found: FileProposal) -> dict[str, tuple[str | None, int | None]]:
    """The map's lengths as it is written: header and side."""
    folder = found.path.parent.parent
    write_source(folder, found)
    (source,) = settings.load(folder).sources
    return {name: (said.column, said.side) for name, said in source.columns.items() if name.endswith("_in")}


def test_a_bench_log_with_all_sides_in_one_column_is_mapped_and_read(shop: SmallShop) -> None:
    found = proposed(shop, "bench.csv", BENCH)
    assert found.proposal.kind == "weights"
    assert origins(found) == {
        "length_in": ("Outside cm", 1),
        "width_in": ("Outside cm", 2),
        "height_in": ("Outside cm", 3),
    }
    shop.sources = settings.load(shop.folder).sources
    shop.import_files("bench.csv")
    read = shop.rows("select parcel_id, length_in, width_in, height_in from accepted.weights order by 1")
    assert [(row[0], *(each and round(each, 4) for each in row[1:])) for row in read] == [
        ("P1", 48, 8, 6),
        ("P2", 50, 20, 10),
        ("P3", None, None, None),
        ("P5", 18, 18, 18),
        ("P6", 30, 20, 10),
    ]
    ((row, column, reason),) = shop.rejected()
    assert (row, column) == (4, "length_in")
    assert reason.startswith("does not hold three sides, such as 48 x 8 x 6")


def test_a_list_of_cartons_says_which_side_is_which(shop: SmallShop) -> None:
    found = proposed(shop, "boxes.csv", BOXES)
    assert found.proposal.kind == "cartons"
    assert origins(found) == {
        "inside_length_in": ("Inside mm (BxLxH)", 2),
        "inside_width_in": ("Inside mm (BxLxH)", 1),
        "inside_height_in": ("Inside mm (BxLxH)", 3),
        "outside_length_in": ("Outside mm", 1),
        "outside_width_in": ("Outside mm", 2),
        "outside_height_in": ("Outside mm", 3),
    }


def test_a_stated_header_means_the_side_of_its_column(shop: SmallShop) -> None:
    stated = [f"{side}_in=Umfang [cm]" for side in ("height", "length", "width")]
    found = proposed(shop, "bench.csv", BENCH.replace("Outside cm", "Umfang"), *stated)
    assert {each.column: each.unit for each in found.proposal.pairings if each.column.endswith("_in")} == dict.fromkeys(
        ("length_in", "width_in", "height_in"), "cm"
    )
    assert origins(found)["height_in"] == ("Umfang", 3)


def test_a_header_that_is_stated_for_another_column_keeps_its_cells(shop: SmallShop) -> None:
    found = proposed(shop, "bench.csv", BENCH, "packing_method=Outside cm")
    assert not origins(found)
    assert {each.column: each.source for each in found.proposal.pairings}["packing_method"] == "Outside cm"


def test_what_is_not_used_is_named_once_as_the_file_has_it(shop: SmallShop) -> None:
    found = proposed(shop, "skus.csv", "Stock no,Kind,Size cm\nA,rod,1 x 2 x 3\nB,lens,2 x 3 x 4\n", kind="skus")
    assert found.proposal.unused == ("Size cm",)


@pytest.mark.parametrize("said", [{"value": "48", "side": 1}, {"column": "Outside", "side": 4}])
def test_a_side_is_one_of_three_of_a_column(shop: SmallShop, said: dict[str, object]) -> None:
    columns = {"parcel_id": "Label", "carton_code": "Box", "packing_method": "Method", "length_in": said}
    stated = {"name": "bench", "kind": "weights", "files": "bench.csv", "columns": columns}
    with pytest.raises(Exception, match="side"):
        settings.source(stated, "dunnage.toml")


def test_only_a_length_has_a_side(shop: SmallShop) -> None:
    columns = {"parcel_id": ColumnSource("Label"), "packing_method": ColumnSource("Outside cm", side=1)}
    stated = settings.Source("bench", "weights", "bench.csv", columns)
    shop.sources = [stated]
    assert "a side is no text" in shop.refused("bench.csv", BENCH)
