"""What new or corrected records touch, built alone in databases of their own beside the warehouse.

Two of them, in memory, spilling as the warehouse does. One holds the records of the touched parcels and of those that
share a sale with them; the models run in it as they stand. The other holds the touched months, where tables by month
are made (whole_months.py, which then brings both in).
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from models.reference import RECORDS
from models.sql_texts import sql_texts
from models.tables import TABLES
from models.tables.incremental_rules import DATED, LOOKUPS, WORKINGS
from pipelines.build.checks import run_checks, stop_on
from pipelines.build.loading import load_built, write
from pipelines.build.partitions import parts
from pipelines.build.sql_models import Model, models, needed_for, ordered
from pipelines.build.whole_months import MONTHS, WholeMonths, rows_where
from pipelines.shop import warehouse

PARCELS = "touched_parcels"
# Beyond this share of all months, building everything is no slower.
MOST_MONTHS = 0.5
# Claims opened at the command line: records of single parcels too, although the shop itself wrote them.
OPENINGS = "shop.claim_openings"
# What says in which month a parcel is shipped.
DATED_BY = "core.parcels"


@contextmanager
def touched(
    connection: warehouse.Connection, delivery: int | None, progress: Callable[[str], None]
) -> Iterator[WholeMonths | None]:
    """What is touched since a delivery, built; None where everything must be built, or may as well be.

    Call it outside a transaction. Raises ContractError for a table that breaks its contract, CheckFailedError where a
    stop check finds rows.
    """
    if delivery is None:
        yield None
        return
    home = str(connection.execute("select current_database()").fetchall()[0][0])
    for database in (PARCELS, MONTHS):
        connection.execute(f"attach ':memory:' as {database}")
    try:
        connection.execute(f"use {PARCELS}")
        try:
            months = _Beside(connection, home, progress).build(delivery)
        finally:
            connection.execute(f'use "{home}"')
        yield months
    finally:
        for database in (PARCELS, MONTHS):
            connection.execute(f"detach {database}")


@dataclass(frozen=True)
class _Beside:
    """Works in the database of the touched parcels; `home` is the warehouse's name."""

    connection: warehouse.Connection
    home: str
    progress: Callable[[str], None]

    def build(self, delivery: int) -> WholeMonths | None:
        """The touched months, all tables built, or None where they are too many."""
        self._bring_what_all_share()
        self._write("changed", {"delivery": delivery})
        for name in ("shipments", "fees", "labels", "named_sales"):
            self._write(name)
        self.connection.execute("create table touched.relearned (parcel_id varchar)")
        while self._are_few(months := self._dated()):
            if self._make_rest(months):
                stop_on(run_checks(self.connection, "stop"))
                return months
        return None

    def _write(self, name: str, stated: dict[str, object] | None = None, folder: str = "touched") -> None:
        sql = sql_texts(folder)[name].replace("history.", f'"{self.home}".')
        self.connection.execute(f"create or replace table touched.{name} as {sql}", stated)

    def _rows(self, sql: str) -> list[tuple[Any, ...]]:
        return self.connection.execute(sql).fetchall()

    def _bring_what_all_share(self) -> None:
        for schema in ("accepted", "shop", "touched", *sorted({model.split(".")[0] for model in parts().every})):
            self.connection.execute(f"create schema if not exists {schema}")
            self.connection.execute(f"create schema if not exists {MONTHS}.{schema}")
        shared = [f"accepted.{kind}" for kind in RECORDS if kind not in DATED]
        shared += sorted({name for model in models().values() for name in model.references if name.startswith("shop.")})
        for name in shared:
            self.connection.execute(f'create table {name} as select * from "{self.home}".{name}')

    def _dated(self) -> WholeMonths:
        """Build the touched parcels up to the day that each is shipped on; the months that they touch."""
        for name in ("parcels", "sales", "sale_sharing_parcels", "sharing_shipments"):
            self._write(name)
        self._bring_records()
        for model in needed_for(DATED_BY, models()):
            self._make(model)
        for name in ("rebuilt_parcels", "months"):
            self._write(name)
        days = [day for (day,) in self._rows("select shipped_month from touched.months order by 1") if day]
        return WholeMonths(self.connection, self.home, PARCELS, tuple(days))

    def _bring_records(self) -> None:
        """Fill accepted.* with what is known of the touched parcels and of those that share a sale with them."""
        named = "parcel_id in (select parcel_id from touched.sale_sharing_parcels)"
        shipped = f"{named} or shipment_id in (select shipment_id from touched.sharing_shipments)"
        chosen = dict.fromkeys(DATED, named) | dict.fromkeys(("weights", "charges"), shipped)
        chosen["sales"] = "sale_id in (select sale_id from touched.sales)"
        for kind, condition in chosen.items():
            rows = rows_where(f'"{self.home}".accepted.{kind}', condition)
            self.connection.execute(f"create or replace table accepted.{kind} as {rows}")
        opened = rows_where(f'"{self.home}".{OPENINGS}', named)
        self.connection.execute(f"create or replace table {OPENINGS} as {opened}")
        if not self._rows("select 1 from touched.fees"):
            return
        month = "cast(date_trunc('month', invoiced_on) as date)"
        fees = (
            f"where parcel_id is null and {month} in (select invoice_month from touched.fees) and shipment_id is null"
        )
        self.connection.execute(f'insert into accepted.charges select * from "{self.home}".accepted.charges {fees}')

    def _are_few(self, months: WholeMonths) -> bool:
        ((known,),) = self._rows(f'select count(*) from "{self.home}".marts.coverage')
        return len(months.days) <= MOST_MONTHS * int(known)

    def _make(self, model: Model) -> None:
        self.progress(model.name)
        if model.name in WORKINGS:  # they go; what is made of them is held
            write(self.connection, model.name, model.sql)
        else:
            load_built(self.connection, TABLES[model.name], model.sql)

    def _make_rest(self, months: WholeMonths) -> bool:
        """Build what depends on the dated parcels; False where others learn new prices, in touched.relearned then."""
        first = {model.name for model in needed_for(DATED_BY, models())}
        for model in ordered(models()):
            if model.name in parts().by_month:
                self.progress(model.name)
                months.make(model)
            elif model.name in parts().every - first:
                if model.name in LOOKUPS:
                    self._complete(LOOKUPS[model.name], months)
                self._make(model)
            if model.name in LOOKUPS and self._teaches_others(model.name.split(".")[1]):
                return False
        return True

    def _complete(self, counts: str, months: WholeMonths) -> None:
        """The counts of all months, the touched ones as just built: what is learned from them is learned from all."""
        columns = ", ".join(TABLES[counts].columns)
        touched, all_months = (f"select {columns} from {database}.{counts}" for database in (MONTHS, f'"{self.home}"'))
        others = f"{all_months} where {parts().by_month[counts]} not in ({months.listed})"
        self.connection.execute(f"create or replace table {counts} as {touched} union all {others}")

    def _teaches_others(self, lookup: str) -> bool:
        self._write(lookup, folder="touched/learned")
        new = f"select parcel_id from touched.{lookup} except select parcel_id from touched.parcels"
        ((added,),) = self._rows(f"insert into touched.relearned {new}")
        return bool(added)
