"""Workbooks read part by part: what is written is read right, or the file or row is refused. Referee: openpyxl."""

from __future__ import annotations

import io
import zipfile
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel

from pipelines.intake.reading.number_formats import dated_text, meaning
from pipelines.shop.settings import ColumnSource
from tests.pipelines.intake.raw_workbooks import book, row
from tests.pipelines.intake.small_shop import SKUS, SmallShop, renamed, source

BOOKS = renamed(SKUS, format="xlsx")
DATED = '<numFmts count="1"><numFmt numFmtId="164" formatCode="dd/mm/yyyy"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs>'  # noqa: E501


def shop_in(folder: Path) -> SmallShop:
    return SmallShop(folder, [BOOKS])


def kinds(folder: Path, content: bytes) -> dict[str, str]:
    """Stock numbers with what the second column was read as; nothing may be rejected."""
    shop = shop_in(folder)
    assert shop.take_one("skus.xlsx", content).rejected_count == 0, shop.rejected()
    return dict(shop.accepted())


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (row(2, "A", "x") + row(2, "B", "y"), "row 2 comes after row 2"),
        (row(4, "A", "x") + row(3, "B", "y"), "row 3 comes after row 4"),
        (row(2_000_000_000, "A", "x"), "a row 2,000,000,000, and a sheet has 1,048,576"),
        (
            '<row r="2"><c r="B2"><v>1</v></c><c r="A2"><v>2</v></c></row>',
            "cell A2 of row 2 is repeated or out of order",
        ),
        ('<row r="2"><c r="A2"><v>1</v></c><c r="A2"><v>2</v></c></row>', "cell A2 of row 2 is repeated"),
        ('<row r="2"><c r="A2" t="s"><v>7</v></c></row>', "refers to shared text 7"),
        ('<row r="2"><c r="2A"><v>7</v></c></row>', "names no cell"),
    ],
)
def test_rows_and_cells_in_no_order_refuse_the_file(tmp_path: Path, rows: str, words: str) -> None:
    shop = shop_in(tmp_path)
    assert words in shop.refused("skus.xlsx", book(rows))
    assert shop.take_one("skus-good.xlsx", book(row(2, "A", "x"))).accepted_count == 1


def test_a_row_keeps_its_own_number(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    shop.take_one("skus.xlsx", book(row(7, "A", "tripod") + row(1_048_576, "B", "")))
    assert shop.rows("select line_number from rejected.rows") == [(1_048_576,)]


def test_a_hidden_first_sheet_is_asked_about(tmp_path: Path) -> None:
    content = book(row(2, "A", "x"), sheets=(("Old", "veryHidden"), ("New", "visible")))
    said = shop_in(tmp_path).refused("skus.xlsx", content)
    assert "Old (hidden), New" in said and "sheet = " in said
    stated = SmallShop(tmp_path / "stated", [renamed(BOOKS, sheet="New")])
    assert stated.take_one("skus.xlsx", content).accepted_count == 1
    assert stated.accepted() == [("S2", "other")]


def test_styles_that_a_reader_may_dislike_do_not_matter(tmp_path: Path) -> None:
    wrong = (
        "<fills><fill><patternFill patternType='none such'/></fill></fills><fonts><font><sz val='big'/></font></fonts>"
    )
    assert kinds(tmp_path, book(row(2, "A", "x"), styles=wrong)) == {"A": "x"}


def test_shared_and_rich_texts_whitespace_and_escapes(tmp_path: Path) -> None:
    texts = ["<t>A</t>", "<r><t>tri</t></r><r><rPr><b/></rPr><t xml:space='preserve'>pod </t></r><rPh><t>no</t></rPh>"]
    rows = '<row r="2"><c r="A2" t="s"><v>0</v></c><c r="B2" t="s"><v>1</v></c></row>'
    rows += row(3, " B_x0041_ ", "tube &amp; ring")
    assert kinds(tmp_path, book(rows, texts=texts)) == {"A": "tripod", "BA": "tube & ring"}


def test_error_cells_and_formulas_without_value_are_rejected(tmp_path: Path) -> None:
    cells = [
        '<c r="B{0}" t="e"><v>#DIV/0!</v></c>',
        '<c r="B{0}"><f>A2</f></c>',
        '<c r="B{0}" t="str"><f>A2</f><v>x</v></c>',
    ]
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>{n}</v></c>{cell.format(n)}</row>' for n, cell in enumerate(cells, 2))
    shop = shop_in(tmp_path)
    assert shop.take_one("skus.xlsx", book(rows)).accepted_count == 1
    assert [reported[1:] for reported in shop.rejected()] == [
        ("Kind", "is a spreadsheet error, #DIV/0!"),
        ("Kind", "is a formula without a stored value; open and save the workbook, or write the value"),
    ]
    assert shop.accepted() == [("4", "x")]


@pytest.mark.parametrize(("properties", "day"), [("", "2026-01-02"), ('<workbookPr date1904="1"/>', "2030-01-03")])
def test_both_calendars_of_workbooks(tmp_path: Path, properties: str, day: str) -> None:
    cell = '<row r="2"><c r="A2"><v>33.300000000000004</v></c><c r="B2" s="1"><v>46024</v></c></row>'
    assert kinds(tmp_path, book(cell, styles=DATED, properties=properties)) == {"33.3": day}


def test_a_day_that_no_spreadsheet_has_is_rejected(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    shop.take_one(
        "skus.xlsx", book('<row r="2"><c r="A2"><v>1</v></c><c r="B2" s="1"><v>1E+300</v></c></row>', styles=DATED)
    )
    assert shop.rejected() == [(1, "Kind", "is not a possible date")]


def test_a_document_type_is_refused(tmp_path: Path) -> None:
    shop = shop_in(tmp_path)
    shop.put("skus.xlsx", _with_document_type())
    (delivery,) = shop.import_files()
    assert "declares a document type" in str(delivery.error)


def _with_document_type() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book(row(2, "A", "x")))) as packed, zipfile.ZipFile(out, "w") as written:
        for name in packed.namelist():
            text = packed.read(name)
            if name.endswith("sheet1.xml"):
                text = b'<!DOCTYPE worksheet [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]>' + text
            written.writestr(name, text)
    return out.getvalue()


# The referee: openpyxl 3.1's own reading of number formats and serial numbers.
CODES = [
    *BUILTIN_FORMATS.values(),
    "yyyy-mm-dd", "[$-409]d mmm yyyy", '0 "days"', "[Red]0.00", "#,##0.00 [$€-407]", "0.00E+00",
    "[h]:mm:ss", "[mm]:ss", 'dd"."mm"."yyyy', "General", "@", "0%", "[<100]0;0.0", "hh:mm AM/PM", "\\d0", "_-* #,##0",
]  # fmt: skip


@pytest.mark.parametrize("code", CODES)
def test_number_formats_mean_what_the_referee_says(code: str) -> None:
    expected = "duration" if is_timedelta_format(code) else "date" if is_date_format(code) else ""
    assert meaning(code) == expected if "%" not in code else meaning(code) == "percent"


# ECMA-376 part 1, 18.8.30: formats 9 and 10 are 0% and 0.00%; a percent sign shows a number a hundredfold.
@pytest.mark.published
@pytest.mark.parametrize("style", ['<xf numFmtId="9"/>', '<xf numFmtId="10"/>', '<xf numFmtId="164"/>'])
def test_a_percentage_is_no_amount_and_stays_a_text(tmp_path: Path, style: str) -> None:
    reported = '<numFmts count="1"><numFmt numFmtId="164" formatCode="0.0\\ %"/></numFmts>'
    styles = f'{reported}<cellXfs><xf numFmtId="0"/>{style}</cellXfs>'
    share = '<row r="2"><c r="A2" s="1"><v>0.5</v></c><c r="B2"><v>0.5</v></c></row>'
    columns: dict[str, str | ColumnSource] = {
        "packing_method": "Kind",
        "material_cents": "Stock no",
        "effective_from": ColumnSource(value="2026-01-01"),
    }
    columns |= {"clearance_in": ColumnSource(value="1"), "pack_minutes": ColumnSource(value="1")}
    shop = SmallShop(tmp_path, [source("methods", "packing_methods", "m*", columns, format="xlsx")])
    shop.take_one("m.xlsx", book(share, styles=styles))
    assert shop.rejected() == [(1, "Stock no", "is shown as a percentage")]
    assert kinds(
        tmp_path / "texts", book(share.replace('A2" s="1"', 'A2"').replace('"B2"', '"B2" s="1"'), styles=styles)
    )


SERIALS = [1, 1.5, 59, 60, 61, 0.25, 0.999988426, 367.123456, 46024, 46024.75, 46024.0000001, 2_958_465]


@pytest.mark.parametrize("serial", SERIALS)
@pytest.mark.parametrize("is_1904", [False, True])
def test_serial_numbers_are_the_days_of_the_referee(serial: float, is_1904: bool) -> None:
    if is_1904 and serial > 2_957_003:
        return
    epoch = CALENDAR_MAC_1904 if is_1904 else CALENDAR_WINDOWS_1900
    expected = from_excel(serial, epoch)
    reported = dated_text(serial, "date", is_1904=is_1904)
    if isinstance(expected, time):
        assert time.fromisoformat(reported) == expected
    else:
        assert datetime.fromisoformat(reported) == expected


def test_a_length_of_time_is_reported_in_minutes() -> None:
    assert isinstance(from_excel(1.0625, timedelta=True), timedelta)
    assert dated_text(1.0625, "duration", is_1904=False) == "1530 min"


def test_a_whole_workbook_is_read_as_the_referee_wrote_it(tmp_path: Path) -> None:
    written = Workbook()
    sheet = written.active
    values = [
        1,
        -2.5,
        0.1 + 0.2,
        1e20,
        True,
        date(2026, 2, 3),
        datetime(2026, 2, 3, 4, 5, 6),
        time(7, 8),
        "ä & <b>",
        12345678901,
    ]
    texts = [
        "1",
        "-2.5",
        "0.3",
        "1e+20",
        "yes",
        "2026-02-03",
        "2026-02-03 04:05:06",
        "07:08:00",
        "ä & <b>",
        "12345678901",
    ]
    sheet.append(["Stock no", "Kind"])
    for at, value in enumerate(values):
        sheet.append([f"S{at}", value])
    sheet.merge_cells("A13:B14")
    out = io.BytesIO()
    written.save(out)
    assert kinds(tmp_path, out.getvalue()) == {f"S{at}": text for at, text in enumerate(texts)}
