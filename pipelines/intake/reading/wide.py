"""Invoices with a column for each charge, read as one row for each charge: its word, its amount, its number.

A row's amounts must add up to its total, where the file states one; else each of its charges is rejected.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from models.column_map.wide_amounts import WideAmounts, amount_rows
from models.settings.sources import AMOUNT, LINE_NUMBER, WORD
from models.sql_quoting import literal, quoted
from pipelines.intake.reading.archive_notes import metadata_sql, notes_of
from pipelines.intake.reading.delimited import DelimitedFile
from pipelines.intake.reading.tables import BESIDE, FAULT, FAULT_COLUMN, LINE, Kept, Table, has_figure_sql, kept_name
from pipelines.shop.warehouse import Connection


@dataclass(frozen=True)
class WideTable:
    """The first file's rows, each once for every charge that it has.

    decimal: the mark of their numbers in text, if stated. cents: reads an amount, None where it cannot.
    """

    main: Table
    said: WideAmounts
    decimal: str | None
    cents: Callable[[str], int | None]

    @property
    def headers(self) -> tuple[str, ...]:
        return self.said.headers(self.main.headers)

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        return [*amount_rows(self.main.headers, self.main.rows, self.said)]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """The first file by its own reader, then a row for each charge by the engine. Raises SourceFileError."""
        places = {header: at for at, header in enumerate(self.main.headers)}
        stays = self.said.own(self.main.headers)
        own = [replace(each, place=places[each.header]) for each in kept if each.header in stays]
        money = [Kept(each, places[each], self.decimal) for each in self.said.columns]
        main = target.with_name("wide-main.parquet")
        self.main.copy(connection, [*own, *money], main)
        try:
            self._refuse_sums(connection, main, len(own))
            self._unfold(connection, kept, own, target, main)
        finally:
            connection.execute("drop table if exists wrong_sums")
            main.unlink(missing_ok=True)

    def _refuse_sums(self, connection: Connection, main: Path, begin: int) -> None:
        """Fill wrong_sums: the rows whose amounts are not their total, each with what is said of it."""
        connection.execute("create or replace temp table wrong_sums (place bigint, said varchar)")
        if self.said.total is None:
            return
        names = ", ".join(kept_name(begin + number) for number in range(len(self.said.amounts) + 1))
        asked = (
            f"select file_row_number, {names} from read_parquet({literal(str(main))}, file_row_number = true) "
            f"where {quoted(FAULT)} is null"
        )
        wrong = [(at, said) for at, *cells in connection.execute(asked).fetchall() if (said := self._wrong(cells))]
        if wrong:
            connection.executemany("insert into wrong_sums values (?, ?)", wrong)

    def _wrong(self, cells: Sequence[str | None]) -> str | None:
        filled = [cell.strip() if cell else "" for cell in cells]
        if not any(filled):
            return None
        *parts, stated = (self.cents(cell) if cell else 0 for cell in filled)
        if stated is None or None in parts or not filled[-1]:
            return f"cannot be held to the amounts: {filled[-1] or 'it is empty'}"
        found = sum(part for part in parts if part is not None)
        return None if found == stated else f"is {filled[-1]}, but the amounts add up to {found / 100:,.2f}"

    def _unfold(
        self, connection: Connection, kept: Sequence[Kept], own: Sequence[Kept], target: Path, main: Path
    ) -> None:
        cells = {each.header: f"m.{kept_name(at)}" for at, each in enumerate(own)}
        selects = (self._one(number, word, kept, cells) for number, word in enumerate(self.said.amounts.values()))
        # Amounts of several columns become one, so which were texts is not known of it.
        notes = metadata_sql(notes_of(main), None)
        found = " union all by name ".join(selects)
        rows = f"from read_parquet({literal(str(main))}, file_row_number = true) as m"
        has_any = " or ".join(has_figure_sql(f"m.{kept_name(len(own) + at)}") for at in range(len(self.said.amounts)))
        source = f"(select m.*, {has_any} as has_any, w.said {rows} left join wrong_sums as w "
        named = ", ".join([*(kept_name(at) for at in range(len(kept))), *(quoted(name) for name, _ in BESIDE)])
        connection.execute(
            f"copy (with m as {source} on w.place = m.file_row_number) select {named} from ({found}) "
            f"order by place, number) to {literal(str(target))} (format parquet{notes})"
        )

    def _one(self, number: int, word: str, kept: Sequence[Kept], cells: Mapping[str, str]) -> str:
        """The rows that have this charge. One without any keeps its first, so that it is not lost."""
        amount = f"m.{kept_name(len(cells) + number)}"
        made = {
            **cells,
            WORD: literal(word),
            AMOUNT: amount,
            LINE_NUMBER: f"cast(m.file_row_number * {len(self.said.amounts)} + {number + 1} as varchar)",
        }
        columns = [f"{made[each.header]} as {kept_name(at)}" for at, each in enumerate(kept)]
        shift = self.main.line_shift() if isinstance(self.main, DelimitedFile) else 0
        beside = {name: f"m.{quoted(name)}" for name, _ in BESIDE}
        beside[LINE] = f"coalesce(m.{quoted(LINE)}, m.file_row_number + 1 + {shift})"
        beside[FAULT] = f"coalesce(m.{quoted(FAULT)}, m.said)"
        if self.said.total is not None:
            beside[FAULT_COLUMN] = (
                f"case when m.said is null then m.{quoted(FAULT_COLUMN)} else {literal(self.said.total)} end"
            )
        placed = [f"{value} as {quoted(name)}" for name, value in beside.items()]
        first = " or not m.has_any" if number == 0 else ""
        return (
            f"select {', '.join([*columns, *placed])}, m.file_row_number as place, {number} as number from m "
            f"where {has_figure_sql(amount)}{first}"
        )
