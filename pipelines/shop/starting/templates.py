"""Empty files to fill in: one CSV per kind of record and one workbook with a sheet of meanings.

The headers are the contract's own names, measures in the shop's units: a filled template is imported by the source
tables that `dunnage init` writes beside them. Examples stand in the sheet of meanings only: an example row left in a
template would be imported.
"""

import csv
import io
from collections.abc import Iterator
from typing import Any

import tomlkit

from models.dictionary import BENCH_LIST, entries, order_lines, rule_lines
from models.fields import Quantity
from models.reference import RECORDS
from models.shop_units import Units

WORKBOOK = "template-records.xlsx"
MEANINGS = "meanings"


def csv_name(kind: str) -> str:
    """The file name of a kind's CSV template."""
    return f"template-{kind}.csv"


def csv_template(kind: str, units: Units) -> str:
    """A header row and nothing else."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerow(map(units.name, RECORDS[kind].columns))
    return written.getvalue()


def workbook_template(units: Units) -> bytes:
    """A workbook with one sheet per kind of record, like the CSV templates, and a first sheet of meanings."""
    from openpyxl import Workbook

    book = Workbook()
    meanings = book.active
    meanings.title = MEANINGS
    for row in _meaning_rows(units):
        meanings.append(row)
    for kind, schema in RECORDS.items():
        sheet = book.create_sheet(kind)
        sheet.append([units.name(name) for name in schema.columns])
    for sheet in book.worksheets:
        _lay_out(sheet)
    written = io.BytesIO()
    book.save(written)
    return written.getvalue()


def _meaning_rows(units: Units) -> Iterator[list[str]]:
    yield ["record", "column", "meaning", "unit", "needed", "example", "allowed"]
    for kind, schema in RECORDS.items():
        for entry in entries(schema, units):
            needed = "yes" if entry.is_needed else ""
            yield [kind, entry.column, entry.meaning, entry.unit, needed, entry.example, entry.allowed]
        for reason in rule_lines(schema, units):
            yield [kind, "", f"A row is rejected if {reason}."]
        for line in order_lines(schema, units):
            yield [kind, "", f"{line}."]


def _lay_out(sheet: Any) -> None:
    from openpyxl.styles import Font

    sheet.freeze_panes = "A2"
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for column in sheet.columns:
        widest = max(len(str(cell.value or "")) for cell in column)
        sheet.column_dimensions[column[0].column_letter].width = min(widest + 2, 60)


def template_sources(units: Units) -> str:
    """The [[source]] tables by which filled templates and bench lists land, as TOML text."""
    templates = (_source(kind, form, units) for kind in RECORDS for form in ("csv", "xlsx"))
    return "\n".join((*templates, _bench_lists()))


def _bench_lists() -> str:
    """The source of what `dunnage bench-list` writes: the marks of a parcel, and the sale where no label names it."""
    table = tomlkit.table()
    table.update({"name": "bench-list", "kind": "weights", "files": "bench-list-*.csv", "format": "csv"})
    table.add("columns", {name: name for name in BENCH_LIST})
    return _as_text(table)


def _source(kind: str, form: str, units: Units) -> str:
    table = tomlkit.table()
    table.add("name", f"template-{kind}" if form == "csv" else f"workbook-{kind}")
    table.add("kind", kind)
    table.add("files", f"template-{kind}*.csv" if form == "csv" else "template-records*.xlsx")
    table.add("format", form)
    table.add("decimal", ".")
    if form == "xlsx":
        table.add("sheet", kind)
    columns = tomlkit.table()
    for name, column in RECORDS[kind].columns.items():
        columns.add(units.name(name), _own_header(units.name(name), column.quantity))
    table.add("columns", columns)
    return _as_text(table)


def _as_text(table: Any) -> str:
    document = tomlkit.document()
    sources = tomlkit.aot()
    sources.append(table)
    document.add("source", sources)
    return tomlkit.dumps(document)


def _own_header(name: str, wanted: Quantity) -> Any:
    """The column itself; amounts in a template are cents, as its header says."""
    if wanted is not Quantity.MONEY:
        return name
    stated = tomlkit.inline_table()
    stated.update({"column": name, "unit": "cents"})
    return stated
