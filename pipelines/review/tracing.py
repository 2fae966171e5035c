"""From a figure in the review to its parcels, and from each parcel to file and row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from models.contracts import key
from models.errors import NotFoundError
from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.shop import warehouse


def parcels_behind(connection: warehouse.Connection, table: str, wanted: Mapping[str, str], most: int) -> pd.DataFrame:
    """The parcels behind a mart's rows: the wanted columns, parcel_id and the amount, largest first.

    wanted: column -> value as text; dates as yyyy-mm-dd. Raises NotFoundError for a table or column that cannot be
    traced and where nothing is found.
    """
    sql = _trace_sql(table)
    known = [row[0] for row in connection.execute(f"describe {sql}").fetchall()]
    _refuse_unknown(table, wanted, known)
    conditions = " and ".join(f"cast({column} as varchar) = ?" for column in wanted) or "true"
    found = connection.execute(
        f"select * from ({sql}) as t where {conditions} order by abs(amount_cents) desc, parcel_id limit {int(most)}",
        list(wanted.values()),
    ).df()
    if found.empty:
        asked = ", ".join(f"{column} {value}" for column, value in wanted.items()) or "any row"
        raise NotFoundError(table, f"has nothing for {asked}", "this trace", "try another month or leave a filter out")
    return found


def figures(
    connection: warehouse.Connection, table: str, wanted: Mapping[str, str], most: int
) -> tuple[pd.DataFrame, int]:
    """The mart's own rows for the wanted columns that it has, the first `most`, and how many there are."""
    columns = TABLES[table].columns
    kept = {column: value for column, value in wanted.items() if column in columns}
    conditions = " and ".join(f"cast({column} as varchar) = ?" for column in kept) or "true"
    order = ", ".join(key(TABLES[table]))
    asked, values = f"from {table} where {conditions}", list(kept.values())
    (count,) = connection.execute(f"select count(*) {asked}", values).fetchall()[0]
    return connection.execute(f"select * {asked} order by {order} limit {int(most)}", values).df(), int(count)


def sources(connection: warehouse.Connection, parcels: Sequence[str]) -> pd.DataFrame:
    """For each accepted row of these parcels: parcel_id, kind, row_key, file_name, row_number, content_hash,
    delivery_id.
    """
    return connection.execute(sql_texts("queries")["parcel_sources"], [list(parcels)]).df()


def by_file(found: pd.DataFrame) -> pd.DataFrame:
    """The rows of `sources` with one for each parcel, kind and file: row_numbers holds its rows as text, `3-5, 9`."""
    groups = found.groupby(["parcel_id", "kind", "file_name"], sort=False)["row_number"]
    return groups.agg(_in_spans).rename("row_numbers").reset_index()


def _in_spans(numbers: pd.Series[int]) -> str:
    """Whole numbers as text, neighbours drawn together."""
    ordered = sorted(set(map(int, numbers)))
    starts = [number for number in ordered if number - 1 not in ordered]
    ends = [number for number in ordered if number + 1 not in ordered]
    spans = zip(starts, ends, strict=True)
    return ", ".join(str(start) if start == end else f"{start}-{end}" for start, end in spans)


def _trace_sql(table: str) -> str:
    traceable = sql_texts("trace")
    name = table.removeprefix("marts.")
    if name not in traceable:
        listed = ", ".join(f"marts.{each}" for each in traceable)
        raise NotFoundError(table, "cannot be traced", "this command", f"use one of {listed}")
    return traceable[name]


def _refuse_unknown(table: str, wanted: Mapping[str, str], known: Sequence[str]) -> None:
    unknown = sorted(set(wanted) - set(known))
    if unknown:
        raise NotFoundError(
            table, f"has no column {', '.join(unknown)}", "this trace", f"filter by one of {', '.join(known)}"
        )
