"""The archive alone gives the whole history again, and an altered file in it is named."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pandas as pd
import pytest

from models.errors import ArchiveError, NotFoundError, WarehouseError
from models.plain_rows import as_dicts
from pipelines.cli import main
from pipelines.intake import rejects_export, replaying
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, renamed
from tests.sampling import campaign


@pytest.fixture
def shop(tmp_path: Path) -> SmallShop:
    """Corrections, repeated keys, a rejection that was corrected, and a content imported twice by two column maps."""
    shop = SmallShop(tmp_path, [SKUS])
    shop.take_one("skus-1.csv", "Stock no,Kind,Shelf\nS1,tube,tripod\nS2,,mount\nS3,mount,tube\n")
    shop.take_one("skus-2.csv", "Stock no,Kind\nS3,tripod\nS3,tube\nS1,tube\nS4,tube,more\n")
    with warehouse.reading(shop.settings) as connection:
        ((exported, _),) = rejects_export.export(connection, shop.settings, NOW)
    text = exported.read_text(encoding="utf-8-sig").replace("S2,,", "S2,tripod,")
    shop.take_one("rejected-stock.csv", text)
    by_shelf = renamed(SKUS, columns={**SKUS.columns, "item_type": renamed(SKUS.columns["item_type"], column="Shelf")})  # type: ignore[arg-type]
    shop.sources = [by_shelf]
    shop.take_one("skus-1.csv", "Stock no,Kind,Shelf\nS1,tube,tripod\nS2,,mount\nS3,mount,tube\n", again=True)
    return shop


def differing(found: pd.DataFrame) -> dict[str, int]:
    return {row["record_table"]: row["differing_count"] for row in as_dicts(found) if row["differing_count"]}


def test_the_history_comes_again(shop: SmallShop) -> None:
    found = replaying.compare(shop.settings).set_index("record_table")
    assert found["differing_count"].sum() == 0
    assert found.loc["intake.deliveries", "row_count"] == 4
    assert found.loc["accepted.skus", "row_count"] == 3
    assert found["row_count"].loc["superseded.skus"] > 3
    assert found["row_count"].loc["rejected.rows"] >= 2
    assert not (shop.folder / ".replay").exists()


def test_what_differs_is_counted(shop: SmallShop) -> None:
    with warehouse.writing(shop.settings, "test") as connection:
        connection.execute("update accepted.skus set item_type = 'crate' where sku = 'S1'")
        connection.execute("delete from rejected.rows where row_number = 2")
    # The changed row is missing on one side and surplus on the other.
    assert differing(replaying.compare(shop.settings)) == {"accepted.skus": 2, "rejected.rows": 1}


def test_an_altered_archived_file_is_named(shop: SmallShop) -> None:
    archived = sorted((shop.folder / "archive").glob("*.parquet"))
    assert len(archived) == 4
    whole = bytearray(archived[2].read_bytes())
    whole[len(whole) // 2] ^= 1
    archived[2].write_bytes(whole)
    with pytest.raises(ArchiveError, match=f"{archived[2].name} was altered"):
        replaying.compare(shop.settings)
    archived[2].unlink()
    with pytest.raises(ArchiveError, match=f"{archived[2].name} is missing"):
        replaying.compare(shop.settings)


def test_an_altered_entry_is_named(shop: SmallShop) -> None:
    path = shop.folder / "archive" / "delivery-000002.json"
    entry = json.loads(path.read_text(encoding="utf-8"))
    entry["source"]["columns"]["item_type"]["column"] = "Stock no"
    path.write_text(json.dumps(entry), encoding="utf-8")
    with pytest.raises(ArchiveError, match=r"delivery-000002\.json was altered"):
        replaying.compare(shop.settings)
    path.unlink()
    with pytest.raises(ArchiveError, match=r"delivery-000002\.json is missing"):
        replaying.compare(shop.settings)


def test_a_lost_warehouse_is_built_from_the_archive(shop: SmallShop) -> None:
    tables = ("from accepted.skus order by all", "from rejected.rows order by all", "from intake.deliveries")
    before = [shop.rows(query) for query in tables]
    with pytest.raises(WarehouseError, match="move it away"):
        replaying.rebuild(shop.settings)
    (shop.folder / "warehouse.duckdb").unlink()
    with pytest.raises(NotFoundError):
        replaying.compare(shop.settings)
    assert replaying.rebuild(shop.settings) == 4
    assert [shop.rows(query) for query in tables] == before


@campaign
def test_the_demo_shop_by_the_command(demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "shop"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("inbox", "reviews"))
    assert main(["--shop", str(folder), "replay"]) == 0
    reported = capsys.readouterr().out
    assert "rows compared; 0 differ" in reported and "accepted.charges" in reported
    with warehouse.reading(load(folder)) as connection:
        assert connection.execute("select count(*) from superseded.sales").fetchall()[0][0] > 0
