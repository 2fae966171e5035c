"""One writer, readers that go on, and clear words for a file that cannot be used."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from models.errors import NotFoundError, WarehouseBusyError, WarehouseError
from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    return Settings(folder=tmp_path)


def elsewhere(shop: Settings, code: str) -> str:
    """Run code in another process that has `shop` and `warehouse`; returns what it printed."""
    head = (
        "from pathlib import Path\nfrom pipelines.shop import warehouse\nfrom pipelines.shop.settings import Settings\n"
        f"shop = Settings(folder=Path({str(shop.folder)!r}))\n"
    )
    done = subprocess.run([sys.executable, "-c", head + code], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_a_second_writer_is_told_who_holds_the_warehouse(shop: Settings) -> None:
    code = (
        "try:\n  with warehouse.writing(shop, 'review'): print('in')\n"
        "except Exception as refused: print(type(refused).__name__, refused)"
    )
    with warehouse.writing(shop, "intake"):
        said = elsewhere(shop, code)
    assert said.startswith("WarehouseBusyError")
    assert "`dunnage intake`, process" in said
    assert "readers go on" in said
    assert elsewhere(shop, code) == "in"


def test_in_one_process_too(shop: Settings) -> None:
    with warehouse.writing(shop, "intake"), pytest.raises(WarehouseBusyError), warehouse.writing(shop, "review"):
        pass


def test_a_warehouse_that_stayed_as_it_was_is_not_copied_again(shop: Settings) -> None:
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("create table shop.seen as select 1 as n")
    _, copy = warehouse.files(shop)
    first = copy.stat().st_ino
    with warehouse.writing(shop, "review") as connection:
        connection.execute("select n from shop.seen").fetchall()
    assert copy.stat().st_ino == first
    with warehouse.writing(shop, "review") as connection:
        connection.execute("update shop.seen set n = 2")
    assert copy.stat().st_ino != first
    copy.unlink()
    with warehouse.writing(shop, "review"):
        pass
    assert copy.exists()


def test_readers_see_the_last_published_state_while_somebody_writes(shop: Settings) -> None:
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("create table shop.seen as select 1 as n")
    code = "with warehouse.reading(shop) as c: print(c.execute('select n from shop.seen').fetchall()[0][0])"
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("update shop.seen set n = 2")
        assert elsewhere(shop, code) == "1"
    assert elsewhere(shop, code) == "2"


def test_what_a_killed_writer_committed_is_read(shop: Settings) -> None:
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("create table shop.seen as select 1 as n")
    killed = (
        "import os\nwith warehouse.writing(shop, 'intake') as c:\n"
        "  c.execute('update shop.seen set n = 2')\n  c.begin()\n  c.execute('update shop.seen set n = 3')\n"
        "  os._exit(9)"
    )
    with pytest.raises(subprocess.CalledProcessError):
        elsewhere(shop, killed)
    with warehouse.reading(shop) as connection:
        assert connection.execute("select n from shop.seen").fetchall() == [(2,)]


def test_nothing_landed_yet(shop: Settings) -> None:
    with pytest.raises(NotFoundError, match="dunnage intake"), warehouse.reading(shop):
        pass


def test_a_damaged_file_is_named(shop: Settings) -> None:
    with warehouse.writing(shop, "intake"):
        pass
    (shop.folder / "warehouse.duckdb").write_bytes(b"no database" * 1000)
    with pytest.raises(WarehouseError, match=r"warehouse\.duckdb: cannot be opened"), warehouse.writing(shop, "intake"):
        pass


def test_a_newer_file_is_refused(shop: Settings) -> None:
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("update intake.schema_version set version = 99")
    with pytest.raises(WarehouseError, match="newer version"), warehouse.writing(shop, "intake"):
        pass


def test_a_transaction_is_all_or_nothing(shop: Settings) -> None:
    with warehouse.writing(shop, "intake") as connection:
        connection.execute("create table shop.seen (n integer)")
        with pytest.raises(RuntimeError), warehouse.transaction(connection):
            connection.execute("insert into shop.seen values (1)")
            raise RuntimeError
        assert connection.execute("select count(*) from shop.seen").fetchall() == [(0,)]


def test_files_are_their_owners_only(shop: Settings) -> None:
    with warehouse.writing(shop, "intake"):
        pass
    assert (shop.folder / "warehouse-reading.duckdb").stat().st_mode & 0o077 == 0


def test_limits_reach_the_engine(tmp_path: Path) -> None:
    shop = Settings(folder=tmp_path, engine=Engine(memory_limit="512MB", threads=1))
    with warehouse.writing(shop, "intake") as connection:
        found = connection.execute(
            "select current_setting('threads'), current_setting('memory_limit'), current_setting('temp_directory')"
        ).fetchall()[0]
    assert found == (1, "488.2 MiB", str(tmp_path / ".spill"))
