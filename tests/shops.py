"""Small shops for tests: accepted rows given as dictionaries, built into a warehouse in memory."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

import pandas as pd
import pyarrow as pa

from models.reference import RECORDS
from models.tables.incremental_rules import WORKINGS
from models.tariffs.rules import Tariff
from pipelines.build.making import make_here
from pipelines.build.rebuilding import load_grounds, rebuilt
from pipelines.build.sql_models import Model, models, needed_for, ordered
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop

Rows = Sequence[Mapping[str, Any]]

# What a record needs and a test need not say.
DEFAULTS: dict[str, dict[str, Any]] = {
    "sales": {
        "line_number": 1,
        "sold_at": "2026-10-01 10:00:00",
        "item_type": "tripod",
        "quantity": 1,
        "item_price_cents": 10_000,
        "shipping_charged_cents": 0,
    },
    "weights": {
        "line_number": 1,
        "packed_quantity": 1,
        "shipped_on": "2026-10-02",
        "carrier": "Northline",
        "service": "ground",
        "zone": "5",
    },
    "charges": {"carrier": "Northline", "invoice_number": "I1", "invoiced_on": "2026-10-09", "charge_code": "BASE"},
    "claims": {"opened_on": "2026-10-20", "claim_cause": "damage", "claim_state": "filed"},
    "returns": {"returned_on": "2026-10-25", "return_condition": "as new"},
    "labels": {"carrier": "Northline", "bought_on": "2026-10-01"},
    "item_types": {"length_in": 44, "width_in": 6, "height_in": 6, "weight_lb": 9, "turns": "any"},
    "bundles": {"turns": "any"},
    "packing_methods": {"effective_from": "2025-01-01", "material_cents": 300, "pack_minutes": 10, "clearance_in": 1},
    "cartons": {
        "effective_from": "2025-01-01",
        "inside_length_in": 48,
        "inside_width_in": 8,
        "inside_height_in": 8,
        "unit_cost_cents": 250,
    },
    "charge_codes": {"carrier": "Northline"},
    "carton_prices": {"carton_code": "C-48", "effective_from": "2025-01-01"},
    "skus": {},
}


def fill(connection: warehouse.Connection, kind: str, rows: Rows) -> None:
    """Put rows into accepted.KIND as if they had been imported."""
    numbered = {"charges": "line_number"}.get(kind, "row_number")
    whole = [
        {**DEFAULTS[kind], numbered: number, **row, "delivery_id": 1, "row_number": number}
        for number, row in enumerate(rows, start=1)
    ]
    for names, alike in groupby(whole, key=tuple):
        _insert(connection, kind, names, list(alike))


def _insert(connection: warehouse.Connection, kind: str, names: Sequence[str], rows: list[dict[str, Any]]) -> None:
    """Rows of the same columns at once: one by one a thousand take a second of the processor."""
    listed = ", ".join(names)
    try:
        connection.register("rows_to_insert", pa.Table.from_pylist(rows))
    except pa.ArrowException:  # a column of several types
        marks = ", ".join("?" for _ in names)
        connection.executemany(
            f"insert into accepted.{kind} ({listed}) values ({marks})", [list(row.values()) for row in rows]
        )
    else:
        connection.execute(f"insert into accepted.{kind} ({listed}) select {listed} from rows_to_insert")
        connection.unregister("rows_to_insert")


@contextmanager
def built(
    shop: Shop | None = None, price_lists: Sequence[Tariff] = (), needed: Sequence[str] = (), **records: Rows
) -> Iterator[warehouse.Connection]:
    """A warehouse in memory, built from the given records of each kind, rated by the given tariffs.

    needed: tables that the test reads, where it reads few: they and what they are made of are built alone, each held
    to its contract, without the checks that need all of them.
    """
    settings = Settings(folder=Path(), shop=shop or Shop(wage_cents_per_hour=2_400))
    with _with_grounds(settings, tuple(price_lists)) if needed else warehouse.scratch() as connection:
        for kind in RECORDS:
            fill(connection, kind, records.get(kind, ()))
        if needed:
            with warehouse.transaction(connection):
                make_here(connection, settings, _steps(tuple(needed)), lambda name: None)
        else:
            build_tables(connection, settings, price_lists)
        yield connection


@cache
def _steps(needed: tuple[str, ...]) -> list[Model]:
    """The tables and what they are made of, in their order."""
    found = models()
    names = {model.name for name in needed for model in needed_for(name, found)}
    return [model for model in ordered(found) if model.name in names]


# How often a shop with these tariffs was asked for.
_asked = Counter[tuple[Shop, tuple[Tariff, ...]]]()


@contextmanager
def _with_grounds(settings: Settings, price_lists: tuple[Tariff, ...]) -> Iterator[warehouse.Connection]:
    """A warehouse in memory without records, with all that models read beside them.

    To load the demo's tariffs takes longer than what most tests then build: what several ask for is copied.
    """
    _asked[settings.shop, price_lists] += 1
    if _asked[settings.shop, price_lists] == 1:
        with warehouse.scratch() as connection:
            load_grounds(connection, settings, price_lists)
            yield connection
    else:
        with closing(warehouse.bare()) as connection:
            _copy(connection, f"'{_grounds(settings.shop, price_lists)}' as kept (read_only)", "kept", "memory")
            yield connection


@cache
def _grounds(shop: Shop, price_lists: tuple[Tariff, ...]) -> Path:
    """The file that is copied, kept while this process lives."""
    folder = Path(tempfile.mkdtemp(prefix="grounds-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    with warehouse.scratch() as connection:
        load_grounds(connection, Settings(folder=Path(), shop=shop), price_lists)
        _copy(connection, f"'{folder / 'kept.duckdb'}' as kept", "memory", "kept")
    return folder / "kept.duckdb"


def _copy(connection: warehouse.Connection, attached: str, origin: str, target: str) -> None:
    connection.execute(f"attach {attached}")
    connection.execute(f"copy from database {origin} to {target}")
    connection.execute("detach kept")


def build_tables(
    connection: warehouse.Connection,
    settings: Settings,
    price_lists: Sequence[Tariff] = (),
    progress: Callable[[str], None] = lambda name: None,
) -> None:
    """Build the tables of the SQL models alone, without cartons and analyses."""
    with rebuilt(connection, settings, price_lists, progress=progress):
        pass


def make_workings(connection: warehouse.Connection, settings: Settings) -> None:
    """Make again what the build that has ended made on the way and dropped."""
    steps = [model for model in ordered(models()) if model.name in WORKINGS]
    make_here(connection, settings, steps, lambda name: None)


def rows(connection: warehouse.Connection, sql: str) -> list[dict[str, Any]]:
    """The answer as a list of dictionaries."""
    found = connection.execute(sql)
    names = [column[0] for column in found.description]
    return [dict(zip(names, values, strict=True)) for values in found.fetchall()]


def table(connection: warehouse.Connection, name: str) -> pd.DataFrame:
    """A whole table in the order of its columns."""
    return connection.execute(f"select * from {name} order by all").df()
