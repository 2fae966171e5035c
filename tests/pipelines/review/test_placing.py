"""The goods of one parcel of the demo in its carton: tables, terminal and page."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from models.errors import NotFoundError
from models.shop_units import Units
from models.tables import TABLES
from pipelines import cli
from pipelines.review import placements
from pipelines.shop import warehouse
from tests import shops

# A mount head and a counterweight, sent in an uncut M-20: cutting it is cheaper.
CUT_CHEAPER = (
    "select min(p.parcel_id) from core.parcels as p inner join analysis.best_cartons as b "
    "on b.shipped_month = p.shipped_month and b.carton_code = p.carton_code and b.item_type = p.item_type "
    "and b.packing_method = p.packing_method and b.is_cut and b.saving_cents > 0 "
    "where p.cut_height_in is null and b.contents = '1 counterweight, 1 mount head' and p.parcel_id in "
    "(select parcel_id from core.parcel_lines group by parcel_id having count(*) = 2 and sum(packed_quantity) = 2 "
    "and min(item_type) = 'counterweight' and max(item_type) = 'mount head')"
)
TUBE = (
    "select min(p.parcel_id) from core.parcels as p inner join core.cartons as c on c.carton_code = p.carton_code "
    "inner join core.parcel_lines as l on l.parcel_id = p.parcel_id "
    "inner join accepted.item_types as t on t.item_type = l.item_type where c.carton_style = 'tube'"
)


UNLOGGED = "select min(parcel_id) from core.parcels where not has_bench_log"


def parcel(connection: warehouse.Connection, sql: str) -> str:
    (found,) = connection.execute(sql).fetchall()[0]
    return str(found)


def test_the_carton_used_and_the_cheaper_one(demo: warehouse.Connection) -> None:
    found = placements.placed(demo, parcel(demo, CUT_CHEAPER), Units("USD"))
    cartons = found["placement.cartons"].set_index("looked_at")
    assert list(cartons.index) == ["as sent", "cheaper from stock"]
    assert cartons["fitted"].tolist() == ["fits", "fits"]
    assert cartons["is_cut"].tolist() == [False, True]
    height = cartons["inside_height_in"]
    assert height.loc["cheaper from stock"] < height.loc["as sent"]
    pieces = found["placement.pieces"].groupby("looked_at")["item_type"].agg(sorted)
    assert pieces.tolist() == [["counterweight", "mount head"]] * 2


def test_goods_in_a_tube_are_not_placed(demo: warehouse.Connection) -> None:
    found = placements.placed(demo, parcel(demo, TUBE), Units("USD"))
    assert found["placement.cartons"]["fitted"].iloc[0] == "not looked at"
    assert "as sent" not in set(found["placement.pieces"]["looked_at"])


def test_a_parcel_without_a_bench_row_is_not_placed(
    demo: warehouse.Connection, demo_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = parcel(demo, UNLOGGED)
    with pytest.raises(NotFoundError, match="no bench row says"):
        placements.placed(demo, name, Units("USD"))
    assert cli.main(["--shop", str(demo_folder), "explain", name]) == 0
    assert "Packing: not known; no bench row says" in capsys.readouterr().out


PARCEL = {"parcel_id": "P1", "sale_id": "S1", "carton_code": "C-46", "packing_method": "paper"}
CARTON = {
    "carton_code": "C-46",
    "effective_from": "2025-01-01",
    "inside_length_in": 47,
    "inside_width_in": 9,
    "inside_height_in": 9,
    "unit_cost_cents": 200,
}
METHOD = {"packing_method": "paper"}
KNOWN: dict[str, Any] = {
    "sales": [{"sale_id": "S1"}],
    "weights": [PARCEL],
    "cartons": [CARTON],
    "item_types": [{"item_type": "tripod"}],
    "packing_methods": [METHOD],
}


PLACED = ("core.parcel_lines", "core.packed_lines", "core.telescoped_cartons")


def test_nothing_is_lacking() -> None:
    with shops.built(needed=PLACED, **KNOWN) as connection:
        _no_better(connection)
        assert placements.placed(connection, "P1", Units("USD"))["placement.cartons"]["fitted"].tolist() == ["fits"]


@pytest.mark.parametrize(
    ("lacking", "words"),
    [
        ({"weights": [PARCEL | {"parcel_id": "P2"}]}, "no bench row"),
        ({"sales": [{"sale_id": "S2"}]}, "no sale on record says what its goods are"),
        ({"item_types": [{"item_type": "mirror"}]}, "the packed sides of tripod"),
        ({"packing_methods": [METHOD | {"effective_from": "2026-10-03"}]}, "clearance is not known"),
        ({"cartons": [CARTON | {"carton_code": "C-47"}]}, "not in the catalogue"),
    ],
)
def test_what_is_lacking_is_named(lacking: dict[str, Any], words: str) -> None:
    with shops.built(needed=PLACED, **KNOWN | lacking) as connection:
        _no_better(connection)
        with pytest.raises(NotFoundError, match=words):
            placements.placed(connection, "P1", Units("USD"))


def _no_better(connection: warehouse.Connection) -> None:
    """The table that judging the cartons would leave, without a row."""
    typed = ", ".join(f"{name} {column.sql_type}" for name, column in TABLES["analysis.best_cartons"].columns.items())
    connection.execute("create schema if not exists analysis")
    connection.execute(f"create table if not exists analysis.best_cartons ({typed})")


def test_commands_show_it(
    demo: warehouse.Connection, demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = parcel(demo, CUT_CHEAPER)
    assert cli.main(["--shop", str(demo_folder), "explain", name]) == 0
    assert "Packing in M-20" in capsys.readouterr().out
    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder)
    assert cli.main(["--shop", str(folder), "cartons", "--placement", name]) == 0
    page = folder / "reviews" / f"placement-{name}.html"
    assert str(page) in capsys.readouterr().out.replace("\n", "")
    assert f"Packing of parcel {name}" in page.read_text(encoding="utf-8")
    assert cli.main(["--shop", str(folder), "cartons", "--placement", "NOPE"]) == 1
    assert "no bench row" in capsys.readouterr().err
