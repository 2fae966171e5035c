"""Copies a warehouse into a fresh file and proves the copy alike: every row of every table is read on both sides.

A file copy of a rotten warehouse is a rotten backup. The engine's own copy reads every block of every table (each block
has a checksum) and builds indexes new, so that a rotten one is left behind; values that were erased but still lie in
old blocks stay behind too.
"""

from collections.abc import Mapping
from pathlib import Path

from models.errors import BackupError
from models.sql_quoting import literal, quoted
from pipelines.shop.warehouse import Connection

Digests = Mapping[str, tuple[int, str]]
# One value of each type: where the engine's hash of it is another, digests of another engine cannot be compared.
_PROBE = """
    select hash('a', 1, 2::bigint, 3.5, true, date '2026-11-20', timestamp '2026-11-20 09:15:00', null::varchar)
        || ' ' || hash(4::hugeint, time '09:15:00', 'ü') as probe
"""


def copied(connection: Connection, target: Path) -> Digests:
    """Write all that the connection's warehouse holds into a new file; returns its tables' digests, read off the disk.

    Raises BackupError where the two differ, the engine's error where the warehouse cannot be read whole.
    """
    home = str(connection.execute("select current_database()").fetchall()[0][0])
    connection.execute(f"attach {literal(str(target))} as copied")
    try:
        connection.execute(f"copy from database {quoted(home)} to copied")
    finally:
        connection.execute("detach copied")
    live, fresh = digests(connection, home), digests_of(connection, target)
    differing = sorted(name for name in live.keys() | fresh.keys() if live.get(name) != fresh.get(name))
    if differing:
        raise BackupError(
            f"the copy of {home}",
            f"has other rows than the warehouse in {', '.join(differing[:5])}",
            "this backup; none was made",
            "check disk and memory of this machine, then run it again",
        )
    return fresh


def digests_of(connection: Connection, file: Path) -> Digests:
    """The digests of a warehouse file, which is only read."""
    connection.execute(f"attach {literal(str(file))} as looked_at (read_only)")
    try:
        return digests(connection, "looked_at")
    finally:
        connection.execute("detach looked_at")


def digests(connection: Connection, database: str) -> Digests:
    """schema.table -> rows and a digest of all their values, whatever order the rows lie in."""
    columns: dict[str, list[str]] = {}
    found = connection.execute(
        "select schema_name, table_name, column_name from duckdb_columns() "
        "where database_name = ? and not internal order by schema_name, table_name, column_index",
        [database],
    )
    for schema, table, column in found.fetchall():
        columns.setdefault(f"{quoted(schema)}.{quoted(table)}", []).append(quoted(column))
    return {
        table.replace('"', ""): _digest(connection, f"{quoted(database)}.{table}", names)
        for table, names in columns.items()
    }


def _digest(connection: Connection, table: str, names: list[str]) -> tuple[int, str]:
    """The rows' hashes are added up: a sum knows no order, and unlike an exclusive or it sees a row that is twice."""
    hashed = f"select count(*), coalesce(sum(hash({', '.join(names)})), 0)::varchar from {table}"
    ((rows, digest),) = connection.execute(hashed).fetchall()
    return int(rows), str(digest)


def probe(connection: Connection) -> str:
    """What this engine's hash makes of known values. Digests of two engines are alike only where this is."""
    return str(connection.execute(_PROBE).fetchall()[0][0])
