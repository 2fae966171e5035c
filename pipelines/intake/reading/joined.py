"""Files that belong together, read as one table: each row of the first with the row of each other that has its key."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from models.sql_quoting import literal
from models.visible import visible
from pipelines.intake.reading.archive_notes import metadata_sql, notes_of
from pipelines.intake.reading.delimited import lined_sql
from pipelines.intake.reading.tables import Kept, Table, kept_name, source_error, unique_headers
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class Part:
    """Files with one row for each key. by: the key's header in the first file; there: in these."""

    name: str
    tables: tuple[Table, ...]
    by: str
    there: str

    @property
    def headers(self) -> tuple[str, ...]:
        """All but the key's, which the first file has already."""
        return tuple(header for header in self.tables[0].headers if header != self.there)


@dataclass(frozen=True)
class JoinedTable:
    """The first file's rows in their order, with its lines; its headers, then those of each part.

    once: headers of amounts for all rows of a key together, which stand in the first of them; in the others 0.
    """

    main: Table
    parts: tuple[Part, ...]
    once: frozenset[str] = frozenset()

    @property
    def headers(self) -> tuple[str, ...]:
        return joined_headers([self.main.headers, *(part.headers for part in self.parts)])

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        """The first rows; cells of a key that the other files' first rows lack are empty."""
        found: Sequence[Sequence[str]] = self.main.rows
        for part in self.parts:
            known = dict(keyed for table in part.tables for keyed in by_key(table.headers, table.rows, part.there))
            found = completed(found, self.main.headers.index(part.by), known, len(part.headers))
        return found

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """Each file by its own reader, then joined by the engine. Raises SourceFileError for a key with two rows."""
        main = target.with_name("joined-main.parquet")
        starts = self.starts()
        own = [column for column in kept if column.place < starts[0]]
        keys = [Kept(part.by, self.main.headers.index(part.by)) for part in self.parts]
        self.main.copy(connection, [*own, *keys], main)
        copies = [main]
        for number, part in enumerate(self.parts):
            begin, end = starts[number], starts[number + 1]
            inside = [replace(each, place=each.place - begin) for each in kept if begin <= each.place < end]
            copies += self._copied(connection, part, number, inside, target)
        try:
            self._join(connection, kept, own, target, main)
        finally:
            for number in range(len(self.parts)):
                connection.execute(f"drop table if exists joined_{number}")
            for path in copies:
                path.unlink(missing_ok=True)

    def starts(self) -> list[int]:
        """Where the headers of each part begin, and where the last ends."""
        starts = [len(self.main.headers)]
        for part in self.parts:
            starts.append(starts[-1] + len(part.headers))
        return starts

    def _copied(
        self, connection: Connection, part: Part, number: int, inside: Sequence[Kept], target: Path
    ) -> list[Path]:
        """Fill joined_NUMBER: the part's key, then the columns kept of it, one row for each key."""
        copies = []
        for at, table in enumerate(part.tables):
            copies.append(target.with_name(f"joined-{number}-{at}.parquet"))
            columns = [replace(each, place=table.headers.index(part.headers[each.place])) for each in inside]
            table.copy(connection, [Kept(part.there, table.headers.index(part.there)), *columns], copies[-1])
        names = ", ".join(kept_name(place) for place in range(1, len(inside) + 1))
        rows = " union all ".join(
            f"select trim({kept_name(0)}) as key{', ' + names if names else ''} from read_parquet({literal(str(path))})"
            for path in copies
        )
        filled = f"select distinct * from ({rows}) where key <> ''"
        connection.execute(f"create or replace temp table joined_{number} as {filled}")
        twice = connection.execute(
            f"select key from joined_{number} group by key having count(*) > 1 order by key limit 1"
        ).fetchall()
        if twice:
            what = f"has two rows with {part.there} {visible(str(twice[0][0]))!r} that differ"
            raise source_error(part.name, what, "join it by a key that each row has alone, or correct the file")
        return copies

    def _join(
        self, connection: Connection, kept: Sequence[Kept], own: Sequence[Kept], target: Path, main: Path
    ) -> None:
        columns = ", ".join(self._selected(kept, own))
        joins = " ".join(
            f"left join joined_{number} on joined_{number}.key = trim(m.{kept_name(len(own) + number)})"
            for number in range(len(self.parts))
        )
        # A joined file may hold numbers of its own: which columns were texts is not known of the whole.
        notes = metadata_sql(notes_of(main), None)
        connection.execute(
            f"copy (select {columns} from read_parquet({literal(str(main))}, file_row_number = true) as m {joins} "
            f"order by m.file_row_number) to {literal(str(target))} (format parquet{notes})"
        )

    def _selected(self, kept: Sequence[Kept], own: Sequence[Kept]) -> Iterator[str]:
        """SQL for the kept columns in their order, then for those of BESIDE; the lines are those of the first file."""
        starts = self.starts()
        taken = [0] * len(self.parts)
        for place, column in enumerate(kept):
            if column in own:
                found = f"m.{kept_name(own.index(column))}"
            else:
                number = next(at for at in range(len(self.parts)) if column.place < starts[at + 1])
                taken[number] += 1
                found = f"joined_{number}.{kept_name(taken[number])}"
                if column.header in self.once:
                    key = f"trim(m.{kept_name(len(own) + number)})"
                    first = f"row_number() over (partition by {key} order by m.file_row_number) = 1"
                    found = f"case when {first} or {found} is null then {found} else '0' end"
            yield f"{found} as {kept_name(place)}"
        yield from lined_sql(self.main)


def by_key(headers: Sequence[str], rows: Sequence[Sequence[str]], key: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each row's key, and the row without it."""
    at = list(headers).index(key)
    return ((row[at].strip(), (*row[:at], *row[at + 1 :])) for row in rows)


def completed(
    rows: Sequence[Sequence[str]], at: int, known: Mapping[str, Sequence[str]], width: int
) -> list[tuple[str, ...]]:
    """Each row with the cells that its key, in the column `at`, has in `known`; with as many empty ones where none."""
    none = ("",) * width
    return [(*row, *known.get(row[at].strip(), none)) for row in rows]


def joined_headers(headers: Collection[Sequence[str]]) -> tuple[str, ...]:
    """The headers of several files in a row; those that two files have are numbered, as they are within one."""
    return unique_headers([header for each in headers for header in each])
