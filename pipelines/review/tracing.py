"""From a figure to its parcels, as its table's contract states it, and from each parcel to file and row."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from models.errors import NotFoundError
from models.plain_rows import as_dicts, plain
from models.provenance import NONE, PART, MadeFrom
from models.sql_texts import sql_texts
from models.tables import TABLES
from pipelines.shop import warehouse
from pipelines.shop.warehouse import plain_rows

if TYPE_CHECKING:
    import pandas as pd

PARCELS, ZONE = "core.parcels", ("zone_band",)
BY_FILE = ("parcel_id", "kind", "file_name")
# Queries that others name as if they were tables.
NAMED = ("record_parcels", "service_rule_parcels")


class Behind(NamedTuple):
    """rows: the first of the parcels behind a table's rows. parcel_count, amount_cents: of all; None where no amount is
    known. relation: how the figure relates to them, one of RELATIONS in models/provenance.py."""

    rows: pd.DataFrame
    parcel_count: int
    amount_cents: int | None
    relation: str


def parcels_behind(connection: warehouse.Connection, table: str, wanted: Mapping[str, str], most: int) -> Behind:
    """The parcels behind a table's rows: what tells its rows apart, the wanted columns, parcel_id and the
    amount, largest first.

    wanted: column -> value as text; dates as yyyy-mm-dd. No rows where no record stands behind the figures. Raises
    NotFoundError for a table or column that cannot be traced and where no row is found.
    """
    stated = _stated(table)
    _refuse_unknown(table, wanted, stated.known)
    order = ", ".join(["parcel_id", *stated.telling])
    found = plain_rows(
        connection,
        f"select *, count(distinct parcel_id) over () as parcels, sum(amount_cents) over () as cents "
        f"from ({stated.sql(wanted)}) as t "
        f"order by abs(amount_cents) desc nulls last, {order} limit {int(most)}",
        list(wanted.values()),
    )
    is_part = not set(wanted) <= set(TABLES[table].columns)
    if found.empty and (is_part or not figures(connection, table, wanted, 1)[1]):
        raise _nothing(table, wanted)
    rows = found.drop(columns=["parcels", "cents"])
    if found.empty:
        return Behind(rows, 0, None, NONE)
    first = as_dicts(found.head(1))[0]
    relation = PART if is_part else stated.made_from.relation(first["cents"] is not None)
    return Behind(rows, first["parcels"], first["cents"], relation)


def figures(
    connection: warehouse.Connection, table: str, wanted: Mapping[str, str], most: int
) -> tuple[pd.DataFrame, int]:
    """The table's own rows for the wanted columns that it has, the latest month's first, `most` of them, and how many
    there are.
    """
    columns = TABLES[table].columns
    kept = {column: value for column, value in wanted.items() if column in columns}
    conditions = " and ".join(f"cast({column} as varchar) = ?" for column in kept) or "true"
    order = ", ".join(f"{name} desc" if name == "shipped_month" else name for name in TABLES[table].key)
    asked, values = f"from {table} where {conditions}", list(kept.values())
    (count,) = connection.execute(f"select count(*) {asked}", values).fetchall()[0]
    return plain_rows(connection, f"select * {asked} order by {order} limit {int(most)}", values), int(count)


def sources(connection: warehouse.Connection, parcels: Sequence[str]) -> pd.DataFrame:
    """For each accepted row of these parcels: parcel_id, kind, row_key, file_name, row_number, content_hash,
    delivery_id.
    """
    return plain_rows(connection, _query("parcel_sources"), [list(parcels)])


def by_file(found: pd.DataFrame) -> pd.DataFrame:
    """The rows of `sources` with one for each parcel, kind and file: row_numbers holds its rows as text, `3-5, 9`."""
    numbers: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for row in as_dicts(found):
        numbers[tuple(row[name] for name in BY_FILE)].append(int(row["row_number"]))
    rows = [dict(zip(BY_FILE, key, strict=True)) | {"row_numbers": _in_spans(each)} for key, each in numbers.items()]
    return plain(rows, [*BY_FILE, "row_numbers"])


def _in_spans(numbers: Sequence[int]) -> str:
    """Whole numbers as text, neighbours drawn together."""
    ordered = sorted(set(numbers))
    starts = [number for number in ordered if number - 1 not in ordered]
    ends = [number for number in ordered if number + 1 not in ordered]
    spans = zip(starts, ends, strict=True)
    return ", ".join(str(start) if start == end else f"{start}-{end}" for start, end in spans)


@dataclass(frozen=True)
class _Statement:
    """What a table states of the rows behind it, as SQL. `r` is the table, `b` a row behind it, `p` its parcel, `z` the
    parcel's zone."""

    table: str
    made_from: MadeFrom

    @property
    def own(self) -> Sequence[str]:
        """Columns of the rows behind."""
        rows = self.made_from.rows or self.table
        return list(TABLES[rows].columns) if rows in TABLES else self.by

    @property
    def by(self) -> Sequence[str]:
        """Columns by which a row behind belongs to a row of the table."""
        return TABLES[self.table].key if self.made_from.by is None else self.made_from.by.split()

    @property
    def known(self) -> Sequence[str]:
        """All columns that may be asked for."""
        return list(dict.fromkeys([*TABLES[self.table].columns, *self.own, *TABLES[PARCELS].columns, *ZONE]))

    @property
    def telling(self) -> Sequence[str]:
        """The table's columns that tell one row's rows from another's: the steps of a month's bridge share theirs."""
        used = {*(name.removeprefix("p.") for name in self.by), *re.findall(r"\br\.(\w+)", self.made_from.where)}
        whole = TABLES[self.table].key
        return [name for name in whole if name in used] if used <= set(whole) else whole

    def sql(self, wanted: Mapping[str, str]) -> str:
        """One row per row that tells itself apart and parcel behind it; the values wanted are parameters."""
        own = list(dict.fromkeys(name for name in (*self.telling, *wanted) if name in TABLES[self.table].columns))
        shown = {name: f"r.{name}" for name in own} | {name: self._source(name) for name in wanted if name not in own}
        shown["parcel_id"] = "b.parcel_id"
        amount = self.made_from.amount or (f"b.{self.made_from.sums}" if self.made_from.sums else "null")
        listed = ", ".join(f"{source} as {name}" for name, source in shown.items())
        conditions = [
            self.made_from.where,
            *self._matches(),
            *(f"cast({shown[name]} as varchar) = ?" for name in wanted),
        ]
        text = f"where {' and '.join(conditions)} group by {', '.join(shown.values())}"
        chosen = f"select {listed}, cast(sum({amount}) as bigint) as amount_cents"
        whole = f"{chosen} from {self._joined(own, chosen + text)} {text}"
        return whole if self.made_from.rows else re.sub(r"\bb\.", "r.", whole)

    def _matches(self) -> Iterator[str]:
        for name in self.by if self.made_from.rows else ():
            source, column = self._source(name), name.removeprefix("p.")
            if column == "shipped_month" and self.made_from.is_year:
                yield f"{source} <= r.{column} and {source} > cast(r.{column} - interval '12' month as date)"
            elif TABLES[self.table].columns[column].nullable:
                yield f"{source} is not distinct from r.{column}"
            else:
                yield f"{self._named(source)} = r.{column}"

    def _source(self, name: str) -> str:
        if "." in name:
            return name
        return f"b.{name}" if name in self.own else f"z.{name}" if name in ZONE else f"p.{name}"

    def _named(self, source: str) -> str:
        """The column as sums are named by it: account fees as `account`, what is not known as `unknown`."""
        place, column = source.split(".")
        rows = {"b": self.made_from.rows, "p": PARCELS, "z": "core.zone_bands"}[place]
        stated = TABLES[rows].columns[column] if rows in TABLES else None
        if stated is None or stated.sql_type != "VARCHAR" or not (stated.nullable or place == "z"):
            return source
        known = f"coalesce({source}, 'unknown')"
        has_fees = place == "b" and "is_account" in self.own
        return f"case when b.is_account then 'account fees' else {known} end" if has_fees else known

    def _joined(self, own: Sequence[str], text: str) -> str:
        """The table, the rows behind it, and of their parcels and zones what the text names."""
        is_whole = len(self.telling) == len(TABLES[self.table].key)
        apart = self.table if is_whole else f"(select distinct {', '.join(own) or 'true'} from {self.table})"
        rows, joined = self.made_from.rows, f"{apart} as r"
        if rows:
            joined += f" cross join {rows if rows in TABLES else f'({_query(rows)})'} as b"
        if re.search(r"\bp\.", text):
            joined += f" left join {PARCELS} as p on p.parcel_id = b.parcel_id"
        if re.search(r"\bz\.", text):
            carrier, zone = self._source("carrier"), self._source("zone")
            joined += (
                f" left join core.zone_bands as z on z.carrier = {carrier} and z.zone = coalesce({zone}, 'unknown')"
            )
        return joined


def _stated(table: str) -> _Statement:
    stated = TABLES[table].made_from if table in TABLES else None
    if stated is None:
        raise NotFoundError(table, "cannot be traced", "this command", "`dunnage trace` alone lists what can be")
    return _Statement(table, stated)


def _query(name: str) -> str:
    """A query, before it the other queries of parcels and the checks that it names."""
    texts = sql_texts("queries")
    named = {**{each: texts[each] for each in NAMED}, **sql_texts("checks/warn")}
    parts = [f"{each} as ({text}\n)" for each, text in named.items() if re.search(rf"\b{each}\b", texts[name])]
    return f"with {', '.join(parts)}\nselect * from ({texts[name]}\n)" if parts and name not in named else texts[name]


def _nothing(table: str, wanted: Mapping[str, str]) -> NotFoundError:
    if not wanted:
        return NotFoundError(table, "has no rows", "this trace", "import what it is made from, then `dunnage review`")
    asked = ", ".join(f"{column} {value}" for column, value in wanted.items())
    return NotFoundError(table, f"has nothing for {asked}", "this trace", "try another month or leave a filter out")


def _refuse_unknown(table: str, wanted: Mapping[str, str], known: Sequence[str]) -> None:
    unknown = sorted(set(wanted) - set(known))
    if unknown:
        raise NotFoundError(
            table, f"has no column {', '.join(unknown)}", "this trace", f"filter by one of {', '.join(known)}"
        )
