"""No backup vouches for a rotten warehouse: it is refused, or what was rotten is not in it."""

from __future__ import annotations

import hashlib
from collections import Counter
from pathlib import Path

import pytest

from models.errors import BackupError
from pipelines.shop import backup, warehouse
from pipelines.shop.backup import copying
from pipelines.shop.settings import Settings
from tests.pipelines.shop.backup.rotten import NOW, harms, indexed_shop, outcome


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Settings:
    return indexed_shop(tmp_path_factory.mktemp("indexed") / "shop")


@pytest.fixture(scope="module")
def pristine(shop: Settings) -> copying.Digests:
    with warehouse.reading(shop) as connection:
        return copying.digests(connection, "warehouse")


def test_no_backup_vouches_for_a_rotten_warehouse(shop: Settings, pristine: copying.Digests, tmp_path: Path) -> None:
    """`python -m tests.benchmarks` rots many more."""
    found = Counter(
        (harm.where, outcome(shop, harm, tmp_path / str(number), pristine))
        for number, harm in enumerate(harms(shop, 8, seed=3))
    )
    assert not [where for where, became in found if became == "vouched for"]
    # Every flipped bit in rows is found. An index that is rotten is left behind: the backup has one built anew.
    assert found["rows", "refused"] == 2
    assert found["index", "whole"] + found["index", "refused"] == 2
    assert found["tail", "refused"] > 0


def test_indexes_are_built_anew_in_the_copy(shop: Settings, tmp_path: Path) -> None:
    backup.restore(tmp_path / "again", backup.backup(shop, tmp_path, NOW).path, is_forced=False, now=NOW)
    with warehouse.reading(Settings(folder=tmp_path / "again")) as connection:
        names = connection.execute("select count(*) from duckdb_indexes() where index_name = 'labels'").fetchall()
        keys = connection.execute(
            "select count(*) from duckdb_constraints() where constraint_type = 'PRIMARY KEY'"
        ).fetchall()
        label = hashlib.md5(b"17").hexdigest() + hashlib.md5(b"119").hexdigest()
        found = connection.execute("select shelf_id from shop.shelves where label = ?", [label]).fetchall()
    assert (names, keys, found) == ([(1,)], [(1,)], [(17,)])


def test_a_copy_with_other_rows_is_refused(shop: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A memory error between the reading and the writing: both files are sound, and they differ."""
    honest = copying.digests_of

    def one_row_other(connection: warehouse.Connection, file: Path) -> copying.Digests:
        connection.execute(f"attach '{file}' as touched")
        connection.execute("update touched.accepted.charges set amount_cents = 1 where amount_cents = 2000")
        connection.execute("detach touched")
        return honest(connection, file)

    monkeypatch.setattr(copying, "digests_of", one_row_other)
    with pytest.raises(BackupError, match=r"has other rows than the warehouse in accepted\.charges"):
        backup.backup(shop, tmp_path / "stick", NOW)
    assert not list((tmp_path / "stick").iterdir())


@pytest.mark.parametrize(
    "change",
    [
        "update shop.shelves set label = 'x' where shelf_id = 5",
        "insert into shop.shelves values (-1, 'more')",
        "delete from shop.shelves where shelf_id = 5",
        "update accepted.charges set amount_cents = amount_cents + 1 where parcel_id = 'P1'",
        "update accepted.charges set parcel_id = null where parcel_id = 'P1'",
        # Twice the same row, and two that trade a value.
        "insert into accepted.claims from accepted.claims",
        "update accepted.charges set amount_cents = 5500 - amount_cents where parcel_id in ('P2', 'P3')",
    ],
)
def test_a_digest_sees_every_change(shop: Settings, pristine: copying.Digests, change: str) -> None:
    with warehouse.reading(shop) as connection:
        connection.execute("attach ':memory:' as other")
        connection.execute("copy from database warehouse to other")
        connection.execute("use other")
        assert copying.digests(connection, "other") == pristine
        connection.execute(change)
        assert copying.digests(connection, "other") != pristine


def test_a_digest_knows_no_order(shop: Settings, pristine: copying.Digests) -> None:
    with warehouse.reading(shop) as connection:
        connection.execute("attach ':memory:' as other")
        connection.execute("create schema other.shop")
        connection.execute("create table other.shop.shelves as from shop.shelves order by label")
        assert copying.digests(connection, "other")["shop.shelves"] == pristine["shop.shelves"]


def test_what_was_erased_is_not_in_the_backup(shop: Settings, tmp_path: Path) -> None:
    """A value that an UPDATE replaced may lie in the file's old blocks until they are used again."""
    secret = "Brackenwick-" + "0123456789abcdef" * 4
    with warehouse.writing(shop, "test") as connection:
        connection.execute(
            "insert into shop.shelves select 100000 + n, ? || random() from range(2000) as t(n)", [secret]
        )
    with warehouse.writing(shop, "test") as connection:
        connection.execute("delete from shop.shelves where shelf_id >= 100000")
    assert secret.encode() in warehouse.files(shop)[0].read_bytes()
    made = backup.backup(shop, tmp_path, NOW)
    backup.restore(tmp_path / "again", made.path, is_forced=False, now=NOW)
    assert secret.encode() not in (tmp_path / "again" / "warehouse.duckdb").read_bytes()
