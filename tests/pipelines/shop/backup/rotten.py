"""Warehouses that a failing disk has rotted: bits that flipped in rows or in an index, tails that are gone."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from models.errors import DunnageError
from pipelines.shop import backup, warehouse
from pipelines.shop.backup import copying
from pipelines.shop.settings import Settings, load
from tests.pipelines.small_shop import small_shop

NOW = datetime(2026, 11, 20, 9, 15)
# DuckDB's storage format: three headers of 4,096 bytes, then blocks of 262,144 bytes.
HEADERS, BLOCK = 3 * 4096, 262_144
# The schema has no keys of the engine's today, so a table of the test's own has two indexes.
INDEXED = """
    create table shop.shelves (shelf_id integer primary key, label varchar not null);
    insert into shop.shelves select n, md5(n::varchar) || md5((n * 7)::varchar) from range(30000) as t(n);
    create unique index labels on shop.shelves (label);
"""


@dataclass(frozen=True)
class Rotten:
    """One harm: where (rows, index, other or tail) and the byte and bit, or for a tail the length that is left."""

    where: str
    byte: int
    bit: int = 0

    def harm(self, path: Path) -> None:
        """Do it to a warehouse file."""
        whole = bytearray(path.read_bytes())
        if self.where == "tail":
            path.write_bytes(whole[: self.byte])
            return
        whole[self.byte] ^= 1 << self.bit
        path.write_bytes(whole)


def indexed_shop(folder: Path) -> Settings:
    """A small shop whose warehouse has indexes."""
    settings = small_shop(folder)
    with warehouse.writing(settings, "test") as connection:
        for statement in INDEXED.split(";"):
            if statement.strip():
                connection.execute(statement)
    return settings


def blocks(settings: Settings) -> dict[str, list[int]]:
    """Block numbers by what they hold: rows, an index, other (the list of tables, or nothing now)."""
    with warehouse.reading(settings) as connection:
        tables = connection.execute(
            "select schema_name || '.' || table_name from duckdb_tables() where database_name = 'warehouse'"
        ).fetchall()
        held: set[int] = set()
        for (table,) in tables:
            found = connection.execute(f"select block_id from pragma_storage_info('{table}') where block_id >= 0")
            held |= {int(row[0]) for row in found.fetchall()}
        listed = {int(row[0]) for row in connection.execute("select block_id from pragma_metadata_info()").fetchall()}
    path = warehouse.files(settings)[0]
    every = set(range((path.stat().st_size - HEADERS) // BLOCK))
    # An index's nodes fill most of their block; free blocks were rows or lists before.
    rest = every - held - listed
    return {"rows": sorted(held), "index": sorted(rest), "other": sorted(listed)}


def harms(settings: Settings, count: int, seed: int) -> Iterator[Rotten]:
    """So many harms, by turns in rows, in an index, in other blocks and at the tail."""
    chance, where = random.Random(seed), blocks(settings)
    size = warehouse.files(settings)[0].stat().st_size
    assert all(where.values())
    for number in range(count):
        kind = ("rows", "index", "other", "tail")[number % 4]
        if kind == "tail":
            yield Rotten(kind, chance.randrange(HEADERS, size - 1))
        else:
            block = chance.choice(where[kind])
            yield Rotten(kind, HEADERS + block * BLOCK + chance.randrange(BLOCK), chance.randrange(8))


def outcome(settings: Settings, harm: Rotten, folder: Path, pristine: copying.Digests) -> str:
    """What became of a backup of the harmed shop: refused, whole (a restored one has all rows), or vouched for."""
    shop, stick = folder / "shop", folder / "stick"
    shutil.copytree(settings.folder, shop)
    harm.harm(shop / "warehouse.duckdb")
    try:
        made = backup.backup(load(shop), stick, NOW)
    except (DunnageError, warehouse.EngineError):
        assert not list(stick.glob("*.zip"))
        return "refused"
    finally:
        shutil.rmtree(shop)
    done = backup.restore(folder / "again", made.path, is_forced=False, now=NOW)
    shutil.rmtree(folder)
    return "whole" if done.backup.tables == pristine else "vouched for"
