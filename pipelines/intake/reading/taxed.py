"""Invoices whose rows state their tax beside the amount, read as one row for the charge and one for its tax."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from models.column_map.row_tax import RowTax, tax_rows
from models.settings.sources import LINE_NUMBER
from models.sql_quoting import literal, quoted
from pipelines.intake.reading.archive_notes import metadata_sql, notes_of
from pipelines.intake.reading.delimited import lined_sql
from pipelines.intake.reading.tables import BESIDE, FAULT, FAULT_COLUMN, Kept, Table, has_figure_sql, kept_name
from pipelines.shop.warehouse import Connection

_PARTED = "parted_amounts (place bigint, less varchar)"


@dataclass(frozen=True)
class TaxedTable:
    """The file's rows, each followed by its tax where it has any. A row whose tax cannot be taken out is rejected.

    less: an amount without the tax that it contains, both as text; None where one of them cannot be read. decimal: the
    mark of their numbers in text, if stated.
    """

    main: Table
    said: RowTax
    less: Callable[[str, str], str | None]
    decimal: str | None

    @property
    def headers(self) -> tuple[str, ...]:
        return self.said.headers(self.main.headers)

    @property
    def rows(self) -> Sequence[Sequence[str]]:
        return [*tax_rows(self.main.headers, self.main.rows, self.said, lambda *cells: self.less(*cells) or cells[0])]

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        """The file by its own reader, then each row and its tax by the engine. Raises SourceFileError."""
        places = {header: at for at, header in enumerate(self.main.headers)}
        money = [Kept(each, places[each], self.decimal) for each in (self.said.amount, self.said.tax)]
        own = [*(replace(each, place=places[each.header]) for each in kept if each.header != LINE_NUMBER), *money]
        cells = {each.header: f"m.{kept_name(at)}" for at, each in enumerate(own)}
        main = target.with_name("taxed-main.parquet")
        self.main.copy(connection, own, main)
        rows = f"read_parquet({literal(str(main))}, file_row_number = true) as m"
        try:
            self._part(connection, rows, cells)
            found = " union all by name ".join(self._selects(kept, cells))
            named = ", ".join([*(kept_name(at) for at in range(len(kept))), *(quoted(name) for name, _ in BESIDE)])
            connection.execute(
                f"copy (with m as ({self._parted(rows, cells)}) select {named} from ({found}) order by place, number) "
                f"to {literal(str(target))} (format parquet{metadata_sql(notes_of(main), None)})"
            )
        finally:
            connection.execute("drop table if exists parted_amounts")
            main.unlink(missing_ok=True)

    def _part(self, connection: Connection, rows: str, cells: Mapping[str, str]) -> None:
        """Fill parted_amounts with the amounts less their tax, where they contain it."""
        connection.execute(f"create or replace temp table {_PARTED}")
        if not self.said.is_within:
            return
        amount, tax = cells[self.said.amount], cells[self.said.tax]
        asked = f"select m.file_row_number, coalesce({amount}, ''), {tax} from {rows} where {has_figure_sql(tax)}"
        parted = [(at, self.less(*texts)) for at, *texts in connection.execute(asked).fetchall()]
        if parted:
            connection.executemany("insert into parted_amounts values (?, ?)", parted)

    def _parted(self, rows: str, cells: Mapping[str, str]) -> str:
        """SQL for the rows with their amount less tax, and for which it is stuck: they are rejected."""
        amount, tax = cells[self.said.amount], cells[self.said.tax]
        within = str(self.said.is_within).lower()
        stuck = f"({within} and {has_figure_sql(tax)} and w.less is null and m.{quoted(FAULT)} is null)"
        said = f"{tax} || ' cannot be taken out of ' || coalesce({amount}, 'an empty cell')"
        faults = {FAULT: said, FAULT_COLUMN: literal(self.said.tax)}
        replaced = (
            f"case when {stuck} then {value} else m.{quoted(name)} end as {quoted(name)}"
            for name, value in faults.items()
        )
        joined = "left join parted_amounts as w on w.place = m.file_row_number"
        return f"select m.* replace ({', '.join(replaced)}), w.less, {stuck} as is_stuck from {rows} {joined}"

    def _selects(self, kept: Sequence[Kept], cells: Mapping[str, str]) -> Iterator[str]:
        """The charges, then the taxes."""
        amount, tax = cells[self.said.amount], cells[self.said.tax]
        # What still contains its tax is not given back as the amount: it would be taken as it stands.
        charge = {self.said.amount: f"case when not m.is_stuck then coalesce(m.less, {amount}) end"}
        of_tax = {self.said.word: literal(self.said.tax), self.said.amount: tax}
        for number, own in enumerate((charge, of_tax)):
            made = {**cells, **own, LINE_NUMBER: f"cast(2 * m.file_row_number + {number + 1} as varchar)"}
            columns = [f"{made[each.header]} as {kept_name(at)}" for at, each in enumerate(kept)]
            asked = ", ".join([*columns, *lined_sql(self.main), "m.file_row_number as place", f"{number} as number"])
            yield f"select {asked} from m{f' where {has_figure_sql(tax)}' if number else ''}"
