"""The one place that opens DuckDB: a single file with one writer, and a published copy from which everybody reads.

DuckDB lets no other process open a file that is being written. Therefore every writing command publishes a copy
when it is done (a checkpoint, a file copy, one rename); readers open that copy and never wait.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, cast

import duckdb

from models.errors import BEGIN, RESTORE, NotFoundError, WarehouseBusyError, WarehouseError
from models.plain_rows import PlainRows
from models.sql_quoting import literal
from models.sql_texts import sql_texts
from pipelines.shop import durable, swapping, waiting

if TYPE_CHECKING:
    from pandas import DataFrame
    from pyarrow import Table

    from pipelines.shop.settings import Settings

Connection = duckdb.DuckDBPyConnection
EngineError = duckdb.Error


def files(settings: Settings) -> tuple[Path, Path]:
    """The warehouse, and the copy for readers."""
    return settings.folder / "warehouse.duckdb", settings.folder / "warehouse-reading.duckdb"


@contextmanager
def writing(settings: Settings, command: str) -> Iterator[Connection]:
    """The only writer; publishes a changed warehouse for readers at the end, after an error too: commits count.

    Raises WarehouseBusyError that names the holder, WarehouseError for a damaged or newer file.
    """
    warehouse, copy = files(settings)
    with held(settings, command):
        connection = _opened(settings, warehouse)
        try:
            _migrate(connection, warehouse)
            yield connection
        finally:
            connection.close()
            _publish(warehouse, copy)


@contextmanager
def reading(settings: Settings) -> Iterator[Connection]:
    """A connection that reads the published copy; what-ifs may stand beside it in memory, the copy stays as it is.

    Raises NotFoundError where nothing was ever imported.
    """
    warehouse, copy = files(settings)
    swapping.finish(settings.folder)
    if not warehouse.exists():
        raise NotFoundError(str(settings.folder), "has no records yet", "this command", BEGIN)
    _refresh(settings, warehouse, copy)
    connection = _opened_for_reading(settings, copy)
    try:
        yield connection
    finally:
        connection.close()


@contextmanager
def scratch() -> Iterator[Connection]:
    """A warehouse in memory, gone at the end: for tests, and for questions that must leave no trace."""
    connection = duckdb.connect(config={"autoinstall_known_extensions": False})
    try:
        _migrate(connection, Path("memory"))
        yield connection
    finally:
        connection.close()


def bare() -> Connection:
    """An engine in memory without any table, for the reader of single files. It spills nothing."""
    return duckdb.connect(config={"temp_directory": "", "threads": 2, "autoinstall_known_extensions": False})


@contextmanager
def transaction(connection: Connection) -> Iterator[None]:
    """All or nothing: committed at the end, rolled back on any error."""
    connection.begin()
    try:
        yield
    except BaseException:
        with suppress(duckdb.Error):
            connection.rollback()
        raise
    connection.commit()


@contextmanager
def held(settings: Settings, command: str, seconds: float | None = None) -> Iterator[None]:
    """The writer's lock alone, with no file opened; a restore that was cut off is finished first.

    Raises WarehouseBusyError that names the holder.
    """
    with waiting.sole_writer(settings.folder, command, seconds):
        swapping.carry_out(settings.folder)
        yield


def _opened(settings: Settings, path: Path) -> Connection:
    try:
        return duckdb.connect(path, config=_limits(settings))
    except duckdb.Error as broken:
        raise _damaged(path, broken) from None


def _opened_for_reading(settings: Settings, path: Path) -> Connection:
    """A connection in memory to which the copy is attached read-only: the engine allows what-ifs only there."""
    connection = duckdb.connect(":memory:", config=_limits(settings))
    try:
        connection.execute(f"attach {literal(str(path))} as warehouse (read_only)")
    except duckdb.Error as broken:
        connection.close()
        raise _damaged(path, broken, "delete it: it is published again from warehouse.duckdb") from None
    connection.execute("use warehouse")
    return connection


def _damaged(path: Path, broken: duckdb.Error, next_step: str = RESTORE) -> WarehouseError:
    said = f"cannot be opened: {str(broken).splitlines()[0]}"
    return WarehouseError(str(path), said, "every command of this shop", next_step)


def _limits(settings: Settings) -> dict[str, str | bool | int | float | list[str]]:
    return {
        "memory_limit": settings.engine.memory_limit,
        "temp_directory": str(settings.folder / ".spill"),
        "autoinstall_known_extensions": False,
        "threads": settings.engine.threads or os.cpu_count() or 1,
    }


def _migrate(connection: Connection, path: Path) -> None:
    with transaction(connection):
        applied = _version(connection)
        scripts = migrations()
        if applied > len(scripts):
            raise WarehouseError(
                str(path), f"was written by a newer version (schema {applied})", "every command", "update dunnage"
            )
        for script in scripts[applied:]:
            connection.execute(script)
        if applied < len(scripts):
            connection.execute("create or replace table intake.schema_version as select ? as version", [len(scripts)])
        # Contracts are loaded here: the reader of single files opens an engine without tables, and must start at once.
        from models.record_tables import table_statements

        for statement in table_statements(standing(connection)):
            connection.execute(statement)


def standing(connection: Connection) -> dict[str, list[str]]:
    """The columns of each table that the warehouse has."""
    found = connection.execute(
        "select schema_name || '.' || table_name, list(column_name) from duckdb_columns() "
        "where database_name = current_database() group by 1"
    )
    return dict(found.fetchall())


@contextmanager
def lent(connection: Connection, name: str, rows: DataFrame | Table) -> Iterator[None]:
    """Within the block the engine reads these rows as a table of that name."""
    connection.register(name, rows)
    try:
        yield
    finally:
        connection.unregister(name)


def has_table(connection: Connection, table: str) -> bool:
    """Whether the warehouse has a table: one that an older version published may lack it."""
    found = "from duckdb_tables() where database_name = current_database() and schema_name = ? and table_name = ?"
    return count_of(connection, f"select count(*) {found}", table.split(".")) > 0


def count_of(connection: Connection, statement: str, values: Sequence[object] = ()) -> int:
    """The whole number that a query gives, or the rows that a statement wrote."""
    return int(connection.execute(statement, list(values)).fetchall()[0][0])


def plain_rows(
    connection: Connection, statement: str, values: Sequence[object] | Mapping[str, object] = ()
) -> DataFrame:
    """The rows that a query gives, plain (models/plain_rows.py): what takes a frame to tell or print takes them too."""
    found = connection.execute(statement, values)
    return cast("DataFrame", PlainRows.read([each[0] for each in found.description or ()], found.fetchall()))


def migrations() -> tuple[str, ...]:
    """The migration scripts in order; the n-th brings the warehouse to schema version n."""
    return tuple(sql_texts("migrations").values())


def _version(connection: Connection) -> int:
    if not has_table(connection, "intake.schema_version"):
        return 0
    return count_of(connection, "select version from intake.schema_version")


def _publish(warehouse: Path, copy: Path) -> None:
    if _is_published(warehouse, copy):
        return
    with durable.replacing(copy, copy.with_suffix(".publishing")) as fresh:
        shutil.copy2(warehouse, fresh)


def _is_published(warehouse: Path, copy: Path) -> bool:
    """Whether the copy is of the warehouse as it is: of the same time, which it keeps (clocks may be set back)."""
    wal = warehouse.with_name(warehouse.name + ".wal")
    return copy.exists() and not wal.exists() and copy.stat().st_mtime_ns == warehouse.stat().st_mtime_ns


def _refresh(settings: Settings, warehouse: Path, copy: Path) -> None:
    """Publish again where a writer died before it could; leave it to a writer at work. A full disk stops no reader."""
    if _is_published(warehouse, copy):
        return
    with suppress(WarehouseBusyError, *([OSError] if copy.exists() else [])), held(settings, "publish", 0):
        _opened(settings, warehouse).close()
        _publish(warehouse, copy)
