"""Workbooks written part by part, for what no library would write."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
TYPES = "application/vnd.openxmlformats-officedocument.spreadsheetml"
HEADER = '<row r="1"><c r="A1" t="inlineStr"><is><t>Stock no</t></is></c><c r="B1" t="inlineStr"><is><t>Kind</t></is></c></row>'  # noqa: E501


def row(number: int, first: str, second: str) -> str:
    """A row of two texts."""
    cells = (
        f'<c r="{letter}{number}" t="inlineStr"><is><t>{text}</t></is></c>'
        for letter, text in zip("AB", (first, second), strict=True)
    )
    return f'<row r="{number}">{"".join(cells)}</row>'


def book(
    rows: str,
    *,
    texts: Iterable[str] = (),
    styles: str = "",
    sheets: Iterable[tuple[str, str]] = (("Sheet", "visible"),),
    properties: str = "",
) -> bytes:
    """A workbook whose first sheet has these rows under the header; the others hold one row each.

    texts: the shared ones, as the content of `<si>`. styles: the content of the style sheet. sheets: names and states.
    """
    named = list(sheets)
    listed = "".join(
        f'<sheet name="{name}" sheetId="{at}" state="{state}" r:id="rId{at}"/>'
        for at, (name, state) in enumerate(named, 1)
    )
    parts = [("worksheet", f"worksheets/sheet{at}.xml", f"rId{at}") for at in range(1, len(named) + 1)]
    parts += [("sharedStrings", "sharedStrings.xml", "rIdT"), ("styles", "styles.xml", "rIdS")]
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", _types(len(named)))
        packed.writestr("_rels/.rels", _relations([("officeDocument", "xl/workbook.xml", "rId1")]))
        packed.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}">{properties}<sheets>{listed}</sheets></workbook>',
        )
        packed.writestr("xl/_rels/workbook.xml.rels", _relations(parts))
        packed.writestr("xl/styles.xml", f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>')
        packed.writestr(
            "xl/sharedStrings.xml", f'<sst xmlns="{MAIN}">{"".join(f"<si>{text}</si>" for text in texts)}</sst>'
        )
        for at in range(1, len(named) + 1):
            reported = HEADER + (rows if at == 1 else row(2, f"S{at}", "other"))
            packed.writestr(
                f"xl/worksheets/sheet{at}.xml",
                f'<worksheet xmlns="{MAIN}"><sheetData>{reported}</sheetData></worksheet>',
            )
    return out.getvalue()


def _relations(parts: Iterable[tuple[str, str, str]]) -> str:
    reported = "".join(
        f'<Relationship Id="{name}" Type="{OFFICE}/{kind}" Target="{part}"/>' for kind, part, name in parts
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{reported}</Relationships>'


def _types(sheets: int) -> str:
    kinds = [("workbook.xml", "sheet.main"), ("styles.xml", "styles"), ("sharedStrings.xml", "sharedStrings")]
    kinds += [(f"worksheets/sheet{at}.xml", "worksheet") for at in range(1, sheets + 1)]
    reported = "".join(f'<Override PartName="/xl/{part}" ContentType="{TYPES}.{kind}+xml"/>' for part, kind in kinds)
    rels = '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    return f'<Types xmlns="{PACKAGE}/content-types">{rels}{reported}</Types>'
