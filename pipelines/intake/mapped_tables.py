"""The table that a source's map makes of a file: joined, with a row for each charge, with the lines counted, with what
the file's name states.
"""

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import lru_cache, partial
from pathlib import Path

from models.cells.texts import Reading, read_cell
from models.column_map.row_tax import AMOUNT, WORD, RowTax
from models.column_map.wide_amounts import WideAmounts
from models.reference import RECORDS
from pipelines.intake.columns import matching, reading_of
from pipelines.intake.joining import Companion, joined
from pipelines.intake.reading.counted import CountedTable
from pipelines.intake.reading.delimited import DelimitedFile
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.named import NamedTable, part_of
from pipelines.intake.reading.opening import opened
from pipelines.intake.reading.tables import Table, source_error
from pipelines.intake.reading.taxed import TaxedTable
from pipelines.intake.reading.wide import WideTable
from pipelines.shop.settings import Settings, Source


def as_mapped(
    settings: Settings, source: Source, content: Content, beside: Sequence[Companion], scratch: Path
) -> Table:
    """The file opened, joined with those beside it, with a row for each charge, its lines counted and its name read, as
    the map says.

    Rejected rows that come back are so already. Raises SourceFileError.
    """
    table = opened(source, content, scratch, settings.reading)
    if isinstance(table, DelimitedFile) and table.is_export:
        return table
    table = joined(source, table, beside, scratch, settings.reading)
    table = _counted(source, _widened(settings, source, table, content.name), content.name)
    named = {str(said.made): part_of(said.name, content.name) for said in source.columns.values() if said.name}
    return NamedTable(table, named) if named else table


def _counted(source: Source, table: Table, name: str) -> Table:
    within = next((said.within for said in source.columns.values() if said.within), None)
    return table if within is None else CountedTable(table, _header(table, within, name, "`within`"))


def _header(table: Table, wanted: str, name: str, stated: str) -> str:
    found = matching(wanted, table.headers)
    if found is None:
        raise source_error(name, f"has no column {wanted!r}", f"correct {stated} in the map")
    return found


def _widened(settings: Settings, source: Source, table: Table, name: str) -> Table:
    if not (source.amounts or source.tax):
        return table
    reading = reading_of(settings, source, RECORDS[source.kind], "amount_cents")

    @lru_cache(maxsize=100_000)
    def cents(text: str) -> int | None:
        found = read_cell(text, reading).value
        return found if isinstance(found, int) else None

    if source.tax:
        return TaxedTable(table, _row_tax(source, table, name), partial(_less, cents, reading), reading.decimal)
    stated = "`amounts` and `total`"
    amounts = {_header(table, header, name, stated): word for header, word in source.amounts.items()}
    total = _header(table, source.total, name, stated) if source.total else None
    return WideTable(table, WideAmounts(amounts, total), reading.decimal, cents)


def _row_tax(source: Source, table: Table, name: str) -> RowTax:
    wanted = (source.tax, source.columns[WORD].column, source.columns[AMOUNT].column)
    tax, word, amount = (_header(table, str(each), name, "`tax`") for each in wanted)
    return RowTax(tax, word, amount, source.is_tax_within)


def _less(cents: Callable[[str], int | None], reading: Reading, whole: str, part: str) -> str | None:
    """An amount without the tax that it contains, written as the file's amounts are."""
    amount, tax = cents(whole), cents(part)
    if amount is None or tax is None:
        return None
    if reading.unit == "cents":
        return str(amount - tax)
    return str(Decimal(amount - tax).scaleb(-2)).replace(".", reading.decimal or ".")
