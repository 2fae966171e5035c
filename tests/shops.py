"""Small shops for tests: accepted rows given as dictionaries, built into a warehouse in memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pandas as pd

from models.reference import RECORDS
from models.tables.kept import WORKINGS
from models.tariffs.rules import Tariff
from pipelines.build.rebuilding import make_here, rebuilt
from pipelines.build.sql_models import models, ordered
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
    "packing_methods": {"effective_from": "2025-01-01", "material_cents": 300, "pack_minutes": 10, "clearance_in": 1},
    "cartons": {
        "effective_from": "2025-01-01",
        "inside_length_in": 48,
        "inside_width_in": 8,
        "inside_height_in": 8,
        "unit_cost_cents": 250,
    },
    "charge_codes": {"carrier": "Northline"},
    "skus": {},
}


def fill(connection: warehouse.Connection, kind: str, rows: Rows) -> None:
    """Put rows into accepted.KIND as if they had been imported."""
    for number, row in enumerate(rows, start=1):
        whole = {**DEFAULTS[kind], **row, "delivery_id": 1, "row_number": number}
        if kind == "charges":
            whole.setdefault("line_number", number)
        marks = ", ".join("?" for _ in whole)
        connection.execute(f"insert into accepted.{kind} ({', '.join(whole)}) values ({marks})", list(whole.values()))


@contextmanager
def built(
    shop: Shop | None = None, price_lists: Sequence[Tariff] = (), **records: Rows
) -> Iterator[warehouse.Connection]:
    """A warehouse in memory, built from the given records of each kind, rated by the given tariffs."""
    settings = Settings(folder=Path(), shop=shop or Shop(wage_cents_per_hour=2_400))
    with warehouse.scratch() as connection:
        for kind in RECORDS:
            fill(connection, kind, records.get(kind, ()))
        build_tables(connection, settings, price_lists)
        yield connection


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
    make_here(connection, settings, steps, lambda name: None, lambda model: None)


def rows(connection: warehouse.Connection, sql: str) -> list[dict[str, Any]]:
    """The answer as a list of dictionaries."""
    found = connection.execute(sql)
    names = [column[0] for column in found.description]
    return [dict(zip(names, values, strict=True)) for values in found.fetchall()]


def table(connection: warehouse.Connection, name: str) -> pd.DataFrame:
    """A whole table in the order of its columns."""
    return connection.execute(f"select * from {name} order by all").df()
