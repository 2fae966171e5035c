"""The months touched by new or corrected records, built alone in a database of their own beside the warehouse.

It lives in memory, spilling as the warehouse does, and is filled with the records of every parcel shipped in those
months. The models run in it as they stand. merging.py then brings the months in, in one transaction.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date

from models.reference import RECORDS
from models.tables import TABLES
from models.tables.kept import BY_MONTH, BY_PARCEL, BY_SALE, CELLS, DATED, LOOKUPS, ROW_BY_ROW, WORKINGS
from pipelines import warehouse
from pipelines.build.checks import run_checks, stop_on
from pipelines.build.holding import hold_to_contract
from pipelines.build.order import Model, models, ordered

BESIDE = "touched_months"
PARTS = frozenset({*BY_PARCEL, *BY_SALE, *BY_MONTH, *LOOKUPS, *ROW_BY_ROW, *WORKINGS, CELLS})
# Beyond this share of all months, building everything is no slower.
MOST_MONTHS = 0.5
PARCELS = "core.parcels"


@dataclass(frozen=True)
class Months:
    """The months built beside the warehouse, by their first days, and the database they stand in."""

    days: tuple[date, ...]
    database: str = BESIDE

    @property
    def listed(self) -> str:
        """The months as SQL, for `in (...)`."""
        return ", ".join(f"date '{day}'" for day in self.days) or "null"


@contextmanager
def touched_months(
    connection: warehouse.Connection, delivery: int | None, progress: Callable[[str], None]
) -> Iterator[Months | None]:
    """The months touched since a delivery, built; None where all must be built, or may as well be.

    Call it outside a transaction. Raises ContractError for a table that breaks its contract, CheckFailedError where a
    stop check finds rows.
    """
    if delivery is None:
        yield None
        return
    home = str(connection.execute("select current_database()").fetchall()[0][0])
    connection.execute(f"attach ':memory:' as {BESIDE}")
    try:
        connection.execute(f"use {BESIDE}")
        try:
            days = _Beside(connection, home, progress).build(delivery)
        finally:
            connection.execute(f'use "{home}"')
        yield None if days is None else Months(days)
    finally:
        connection.execute(f"detach {BESIDE}")


@dataclass(frozen=True)
class _Beside:
    """Works in the database beside the warehouse; `home` is the warehouse's name."""

    connection: warehouse.Connection
    home: str
    progress: Callable[[str], None]

    def build(self, delivery: int) -> tuple[date, ...] | None:
        """The touched months, built, or None where they are too many."""
        self._bring_what_all_share()
        self._write("changed", {"delivery": delivery})
        for name in ("own_sales", "parcels"):
            self._write(name)
        self.connection.execute("create table touched.months (shipped_month date)")
        self._bring_records("parcels", "own_sales")
        self._make(needed_for(PARCELS))
        self._write("months")
        while self._are_few():
            for name in ("wanted", "sales", "with_mates"):
                self._write(name)
            self._bring_records("with_mates", "sales")
            if self._make_months():
                stop_on(run_checks(self.connection, "stop"))
                self._mark_kept()
                return self._days()
        return None

    def _write(self, name: str, said: dict[str, object] | None = None, folder: str = "touched") -> None:
        sql = self._text(warehouse.sql_texts(folder)[name])
        self.connection.execute(f"create or replace table touched.{name} as {sql}", said)

    def _text(self, sql: str) -> str:
        return sql.replace("history.", f'"{self.home}".')

    def _rows(self, sql: str) -> list[tuple[object, ...]]:
        return self.connection.execute(self._text(sql)).fetchall()

    def _bring_what_all_share(self) -> None:
        for schema in ("accepted", "shop", "touched", *sorted({model.split(".")[0] for model in PARTS})):
            self.connection.execute(f"create schema if not exists {schema}")
        shared = [f"accepted.{kind}" for kind in RECORDS if kind not in DATED]
        shared += sorted({name for model in models().values() for name in model.references if name.startswith("shop.")})
        for name in shared:
            self.connection.execute(f'create table {name} as select * from "{self.home}".{name}')

    def _bring_records(self, parcels: str, sales: str) -> None:
        """Fill accepted.* with what is known of the parcels and sales listed in touched.*."""
        named = f"where parcel_id in (select parcel_id from touched.{parcels})"
        chosen = dict.fromkeys(DATED, named) | {"sales": f"where sale_id in (select sale_id from touched.{sales})"}
        for kind, condition in chosen.items():
            rows = f'select * from "{self.home}".accepted.{kind}'
            self.connection.execute(f"create or replace table accepted.{kind} as {rows} {condition}")
        month = "cast(date_trunc('month', invoiced_on) as date)"
        fees = f"where parcel_id is null and {month} in (select shipped_month from touched.months)"
        self.connection.execute(f'insert into accepted.charges select * from "{self.home}".accepted.charges {fees}')

    def _make(self, found: Sequence[Model]) -> None:
        for model in found:
            self.connection.execute(f"create or replace table {model.name} as {model.sql}")

    def _make_months(self) -> bool:
        """Build the touched months; False, with more months in touched.months, where they teach others a new price."""
        for model in parts():
            self.progress(model.name)
            self._make([model])
            hold_to_contract(self.connection, model.name, TABLES[model.name])
            if model.name in LOOKUPS.values():
                self._complete(model.name)
            if model.name in LOOKUPS and self._teaches_others(model.name.split(".")[1]):
                return False
        return True

    def _complete(self, counts: str) -> None:
        """Put the other months' counts beside those just built: what is learned from them is learned from all."""
        other = f"{BY_MONTH[counts]} not in (select shipped_month from touched.months)"
        columns = ", ".join(TABLES[counts].columns)
        self.connection.execute(f"delete from {counts} where {other}")
        source = f'"{self.home}".{counts}'
        self.connection.execute(f"insert into {counts} by name select {columns} from {source} where {other}")

    def _teaches_others(self, lookup: str) -> bool:
        self._write(lookup, folder="touched/taught")
        new = f"select shipped_month from touched.{lookup} except select shipped_month from touched.months"
        found = self._rows(new)
        self.connection.execute(f"insert into touched.months {new}")
        return bool(found)

    def _are_few(self) -> bool:
        touched, known = self._rows(
            "select (select count(*) from touched.months), (select count(*) from history.marts.coverage)"
        )[0]
        return int(str(touched)) <= MOST_MONTHS * int(str(known))

    def _mark_kept(self) -> None:
        """touched.kept: parcels and account fees of the months, as built; touched.replaced: what must go for them."""
        listed = "in (select shipped_month from touched.months)"
        built = f"select parcel_id from marts.parcel_costs where shipped_month {listed}"
        before = self._text(f"select parcel_id from history.marts.parcel_costs where shipped_month {listed}")
        named = "select parcel_id from touched.parcels"
        self.connection.execute(f"create or replace table touched.kept as {built}")
        self.connection.execute(f"create or replace table touched.replaced as {built} union {before} union {named}")

    def _days(self) -> tuple[date, ...]:
        found = self._rows("select shipped_month from touched.months order by 1")
        return tuple(row[0] for row in found if isinstance(row[0], date))


def parts() -> list[Model]:
    """The models that are built for the touched months, each after those it reads."""
    return [model for model in ordered(models()) if model.name in PARTS]


def needed_for(name: str) -> list[Model]:
    """The model of that name after all that it rests on."""
    found = models()
    wanted, needed = [name], set()
    while wanted:
        needed.add(each := wanted.pop())
        wanted += [other for other in found[each].references if other in found and other not in needed]
    return [model for model in ordered(found) if model.name in needed]
