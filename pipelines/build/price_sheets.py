"""Reads a carrier's sheet of prices, XLSX or CSV, and writes it as a price file."""

import csv
import io
from pathlib import Path

from models.errors import NotFoundError, TariffError
from models.tariffs.price_file import PRICE_HEADER
from models.tariffs.price_sheets import Asked, rows_of
from pipelines.shop import durable


def import_sheet(sheet: Path, asked: Asked, file: Path, page: str | None = None) -> int:
    """Write the sheet's prices to a price file; returns how many rows. Raises NotFoundError, TariffError."""
    if not sheet.is_file():
        raise NotFoundError(str(sheet), "does not exist", "this import", "check the name")
    grid = _workbook(sheet, page) if sheet.suffix.lower() == ".xlsx" else _delimited(sheet)
    rows = rows_of(grid, asked, sheet.name)
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerows([PRICE_HEADER, *rows])
    durable.write(file, written.getvalue())
    return len(rows)


def _delimited(sheet: Path) -> list[list[str]]:
    try:
        text = sheet.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise TariffError(str(sheet), "is not UTF-8 text", "this import", "save it as UTF-8, or as XLSX") from None
    # The sign that parts most cells; a comma may also be a decimal mark, so it is the last resort.
    delimiter = next((sign for sign in "\t;" if sign in text), ",")
    return list(csv.reader(io.StringIO(text), delimiter=delimiter))


def _workbook(sheet: Path, page: str | None) -> list[list[str]]:
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(sheet, read_only=True, data_only=True)
    except (BadZipFile, InvalidFileException, KeyError, OSError):
        raise TariffError(str(sheet), "is no readable workbook", "this import", "save it as XLSX again") from None
    try:
        if page is not None and page not in book.sheetnames:
            known = ", ".join(book.sheetnames)
            raise NotFoundError(f"{sheet}, sheet {page}", "does not exist", "this import", f"use one of: {known}")
        chosen = book[page] if page is not None else book.worksheets[0]
        return [["" if cell is None else _text(cell) for cell in row] for row in chosen.iter_rows(values_only=True)]
    finally:
        book.close()


def _text(cell: object) -> str:
    """A cell as text. A native number has a point and two or more decimals, so that it proves its own mark."""
    if isinstance(cell, float) and not cell.is_integer():
        written = f"{cell:.10g}"
        return written + "0" if len(written.partition(".")[2]) == 3 else written
    return str(int(cell)) if isinstance(cell, float) else str(cell)
