"""Invoices that have a column for each charge: the table that their source's map makes of them."""

from functools import lru_cache

from models.cells.texts import read_cell
from models.reference import RECORDS
from pipelines.intake.columns import matching, reading_of
from pipelines.intake.reading.delimited import DelimitedFile
from pipelines.intake.reading.tables import Table, source_error
from pipelines.intake.reading.wide import WideTable
from pipelines.shop.settings import Settings, Source


def widened(settings: Settings, source: Source, table: Table, name: str) -> Table:
    """The table with a row for each charge; rejected rows that come back have one already.

    Raises SourceFileError where the file lacks a column of amounts.
    """
    if not source.amounts or (isinstance(table, DelimitedFile) and table.is_export):
        return table
    wanted = {header: matching(header, table.headers) for header in (*source.amounts, *filter(None, [source.total]))}
    if missing := [header for header, found in wanted.items() if found is None]:
        raise source_error(name, f"has no column {missing[0]!r}", "correct `amounts` and `total` in the map")
    reading = reading_of(settings, source, RECORDS[source.kind], "amount_cents")

    @lru_cache(maxsize=100_000)
    def cents(text: str) -> int | None:
        found = read_cell(text, reading).value
        return found if isinstance(found, int) else None

    amounts = {str(wanted[header]): word for header, word in source.amounts.items()}
    total = wanted[source.total] if source.total else None
    return WideTable(table, amounts, total, reading.decimal, cents)
