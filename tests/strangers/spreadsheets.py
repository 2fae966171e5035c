"""A workbook written cell by cell after ECMA-376, part 1 (SpreadsheetML), without the library that reads it.

Texts hold `_xHHHH_` for characters that XML cannot (ST_Xstring, 22.9.2.19), days are serial numbers with a date format
(18.17.4), errors and formulas are cells of their own type.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from xml.sax.saxutils import escape

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
# Styles: 0 general, 1 a day (format 14), 2 a day and time (22), 3 two decimals (2), 4 a percentage (9).
_FORMATS = (0, 14, 22, 2, 9)
DAY, INSTANT, TWO_DECIMALS, PERCENT = 1, 2, 3, 4
_UNSAFE = re.compile("[\x00-\x08\x0b\x0c\x0d\x0e-\x1f\ud800-\udfff\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")


@dataclass(frozen=True)
class ErrorCell:
    """An error value such as #N/A."""

    word: str


@dataclass(frozen=True)
class Formula:
    """A formula, and the value that the last program kept of it; None where none did."""

    text: str
    kept: float | None = None


@dataclass(frozen=True)
class Styled:
    """A number with a number format."""

    number: float
    style: int


def workbook(rows: Iterable[Sequence[Any]], *, sheet: str = "Sheet1", from_1904: bool = False) -> bytes:
    """The bytes of a workbook of one sheet."""
    lines = "".join(_row(number, cells, from_1904) for number, cells in enumerate(rows, 1))
    parts = {
        "[Content_Types].xml": _content_types(),
        "_rels/.rels": _relations(("officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": _book(sheet, from_1904),
        "xl/_rels/workbook.xml.rels": _relations(("worksheet", "worksheets/sheet1.xml"), ("styles", "styles.xml")),
        "xl/styles.xml": _styles(),
        "xl/worksheets/sheet1.xml": f'{_HEAD}<worksheet xmlns="{_MAIN}"><sheetData>{lines}</sheetData></worksheet>',
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in parts.items():
            packed.writestr(name, text)
    return out.getvalue()


def _row(number: int, cells: Sequence[Any], from_1904: bool) -> str:
    written = (_cell(f"{_letters(place)}{number}", cell, from_1904) for place, cell in enumerate(cells))
    return f'<row r="{number}">{"".join(written)}</row>'


def _letters(place: int) -> str:
    return (_letters(place // 26 - 1) if place >= 26 else "") + chr(65 + place % 26)


def _cell(at: str, cell: Any, from_1904: bool) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f'<c r="{at}" t="inlineStr"><is><t xml:space="preserve">{xml_text(cell)}</t></is></c>'
    if isinstance(cell, bool):
        return f'<c r="{at}" t="b"><v>{int(cell)}</v></c>'
    if isinstance(cell, ErrorCell):
        return f'<c r="{at}" t="e"><v>{cell.word}</v></c>'
    if isinstance(cell, Formula):
        return f'<c r="{at}"><f>{escape(cell.text)}</f>{"" if cell.kept is None else f"<v>{cell.kept!r}</v>"}</c>'
    number, style = _number(cell, from_1904)
    return f'<c r="{at}" s="{style}"><v>{number!r}</v></c>'


def _number(cell: Any, from_1904: bool) -> tuple[float, int]:
    if isinstance(cell, Styled):
        return cell.number, cell.style
    if isinstance(cell, datetime):
        return serial(cell, from_1904), INSTANT
    if isinstance(cell, date):
        return serial(datetime.combine(cell, time()), from_1904), DAY
    return cell, 0


def serial(instant: datetime, from_1904: bool = False) -> float:
    """The serial number of an instant after February 1900: days since the last one of 1899, or since 1904."""
    passed = instant - (datetime(1904, 1, 1) if from_1904 else datetime(1899, 12, 30))
    days = passed / timedelta(days=1)
    return int(days) if days.is_integer() else days


def xml_text(text: str) -> str:
    """Text as a workbook holds it."""
    return escape(_UNSAFE.sub(lambda found: f"_x{ord(found[0]):04X}_", text))


def _book(sheet: str, from_1904: bool) -> str:
    era = '<workbookPr date1904="1"/>' if from_1904 else ""
    sheets = f'<sheets><sheet name="{escape(sheet)}" sheetId="1" r:id="rId1"/></sheets>'
    return f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_REL}">{era}{sheets}</workbook>'


def _styles() -> str:
    formats = "".join(f'<xf numFmtId="{one}" fontId="0" fillId="0" borderId="0" xfId="0"/>' for one in _FORMATS)
    plain = (
        '<fonts><font/></fonts><fills><fill><patternFill patternType="none"/></fill></fills>'
        "<borders><border><left/><right/><top/><bottom/><diagonal/></border></borders>"
        '<cellStyleXfs><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    )
    return f'{_HEAD}<styleSheet xmlns="{_MAIN}">{plain}<cellXfs>{formats}</cellXfs></styleSheet>'


def _relations(*targets: tuple[str, str]) -> str:
    listed = "".join(
        f'<Relationship Id="rId{number}" Type="{_REL}/{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(targets, 1)
    )
    return f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">{listed}</Relationships>'


def _content_types() -> str:
    parts = (
        ("/xl/workbook.xml", "sheet.main"),
        ("/xl/worksheets/sheet1.xml", "worksheet"),
        ("/xl/styles.xml", "styles"),
    )
    listed = "".join(f'<Override PartName="{part}" ContentType="{_KIND}.{kind}+xml"/>' for part, kind in parts)
    plain = (
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
    )
    return f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">{plain}{listed}</Types>'
