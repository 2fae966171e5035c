"""A sample is taken from each file format, and a file that is none of them is named with what to do."""

from __future__ import annotations

import gzip
import json
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pyarrow as pa
import pytest
from openpyxl import Workbook
from pyarrow import parquet

from models.errors import SourceFileError
from models.settings.text_files import stated_structure
from pipelines.intake.mapping.sample import FileSample, encoding_of, take_sample
from pipelines.intake.reading.tables import SAMPLE_ROWS

HEADERS = ("Order", "Paid", "Sum")
ROWS_OF_TEXT = (("S-1", "2026-01-31", "18.5"), ("S-2", "2026-02-01", "7"))
LINES = "Order,Paid,Sum\nS-1,2026-01-31,18.5\nS-2,2026-02-01,7\n"


def _csv(path: Path) -> None:
    path.write_text(LINES)


def _tabs(path: Path) -> None:
    path.write_text("\n\n" + LINES.replace(",", "\t"))


def _utf16(path: Path) -> None:
    path.write_text(LINES.replace(",", ";"), encoding="utf-16")


def _gzipped(path: Path) -> None:
    path.write_bytes(gzip.compress(LINES.encode("utf-8-sig")))


def _zipped(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("folder/", "")
        packed.writestr("folder/sales.csv", LINES)


def _records() -> list[dict[str, object]]:
    return [{"Order": "S-1", "Paid": "2026-01-31", "Sum": 18.5}, {"Order": "S-2", "Paid": "2026-02-01", "Sum": 7}]


def _json(path: Path) -> None:
    path.write_text(json.dumps(_records(), indent=1))


def _json_inside(path: Path) -> None:
    path.write_text(json.dumps({"made": "today", "rows": _records()}))


def _json_lines(path: Path) -> None:
    path.write_text("\n".join(map(json.dumps, _records())))


def _parquet(path: Path) -> None:
    columns = {"Order": ["S-1", "S-2"], "Paid": [date(2026, 1, 31), date(2026, 2, 1)], "Sum": [18.5, 7.0]}
    parquet.write_table(pa.table(columns), path)


def _workbook(path: Path) -> None:
    book = Workbook()
    sheet = book.active
    sheet.append([])
    sheet.append(list(HEADERS))
    sheet.append(["S-1", datetime(2026, 1, 31), 18.5])
    sheet.append(["S-2", date(2026, 2, 1), 7])
    book.save(path)


@pytest.mark.parametrize(
    ("write", "ending", "form", "delimiter", "encoding"),
    [
        (_csv, ".csv", "csv", ",", "utf-8"),
        (_tabs, ".tsv", "csv", "\t", "utf-8"),
        (_utf16, ".txt", "csv", ";", "utf-16"),
        (_gzipped, ".csv.gz", "csv", ",", "utf-8"),
        (_zipped, ".zip", "csv", ",", "utf-8"),
        (_json, ".json", "json", ",", "utf-8"),
        (_json_inside, ".json", "json", ",", "utf-8"),
        (_json_lines, ".jsonl", "jsonl", ",", "utf-8"),
        (_parquet, ".parquet", "parquet", ",", "utf-8"),
        (_workbook, ".xlsx", "xlsx", ",", "utf-8"),
    ],
)
def test_each_format_gives_the_same_sample(
    tmp_path: Path, write: Callable[[Path], None], ending: str, form: str, delimiter: str, encoding: str
) -> None:
    write(tmp_path / f"export{ending}")
    found = take_sample(tmp_path / f"export{ending}")
    assert (found.sample.headers, found.sample.rows) == (HEADERS, ROWS_OF_TEXT)
    assert (found.source.format, found.source.delimiter, found.source.encoding) == (form, delimiter, encoding)


def _taken(tmp_path: Path, content: str, encoding: str = "utf-8") -> FileSample:
    path = tmp_path / "export.csv"
    path.write_text(content, encoding=encoding)
    return take_sample(path)


def test_another_encoding_is_reported(tmp_path: Path) -> None:
    found = _taken(tmp_path, "Größe;Preis\nlang;18,50\n", "windows-1252")
    assert found.sample.headers == ("Größe", "Preis")
    assert found.source.encoding == "windows-1252"
    assert "accents" in found.notes[0]


def test_decimal_commas_do_not_split_cells(tmp_path: Path) -> None:
    assert _taken(tmp_path, "a;b\n1,5;2,5\n3,5;4,5\n").source.delimiter == ";"


def test_repeated_headers_are_numbered(tmp_path: Path) -> None:
    found = _taken(tmp_path, "Price,Price,\n1,2,3\n")
    assert found.sample.headers == ("Price (1)", "Price (2)", "(3)")


def test_only_the_first_rows_are_read(tmp_path: Path) -> None:
    assert len(_taken(tmp_path, "a,b\n" + "1,2\n" * 2_000).sample.rows) == SAMPLE_ROWS


def test_a_sheet_may_be_named(tmp_path: Path) -> None:
    path = tmp_path / "log.xlsx"
    book = Workbook()
    book.active.append(["cover"])
    book.create_sheet("Log").append(["Order", "Weight"])
    book.save(path)
    assert take_sample(path).sample.headers == ("cover",)
    assert take_sample(path).notes == ("The first sheet, Sheet, was read; others are Log: name one with --sheet.",)
    assert take_sample(path, "Log").notes == ()
    del book["Log"]
    book.save(alone := tmp_path / "alone.xlsx")
    assert take_sample(alone).notes == ()
    assert take_sample(path, "Log").sample.headers == ("Order", "Weight")
    with pytest.raises(SourceFileError, match="no sheet 'Bog'"):
        take_sample(path, "Bog")


@pytest.mark.parametrize(
    ("ending", "content"),
    [
        (".csv", b""),
        (".csv", b"\n\n\n"),
        (".xlsx", b"PK\x03\x04 torn"),
        (".parquet", b"PAR1 torn"),
        (".csv.gz", b"\x1f\x8b torn"),
        (".zip", b"PK torn"),
        (".json", b"{ torn"),
        (".json", b"[1, 2"),
        (".json", b"[[[[" * 5_000),
        (".json", b'{"a": 1'),
        (".json", b'[{"a\\ud800": 1}]'),
        (".json", b"[]"),
        (".json", b"{}"),
    ],
)
def test_a_torn_or_empty_file_is_named(tmp_path: Path, ending: str, content: bytes) -> None:
    path = tmp_path / f"export{ending}"
    path.write_bytes(content)
    with pytest.raises(SourceFileError, match="export"):
        take_sample(path)


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path) -> None:
    for path, what in ((tmp_path / "none.csv", "is not there"), (tmp_path, "is a folder")):
        with pytest.raises(SourceFileError, match=what):
            take_sample(path)


def test_an_empty_zip_file_is_named(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "none.zip", "w"):
        pass
    with pytest.raises(SourceFileError, match="empty zip"):
        take_sample(tmp_path / "none.zip")


RECORDS = "".join(f"S-{day},2026-01-0{day},{day}.50\n" for day in range(1, 9))
HEAD = "Order,Paid,Sum\n"


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        (HEAD + RECORDS, {}),
        ("Report\nMay,2026\n\n" + HEAD + RECORDS, {"skip": 3}),
        (HEAD + ",(date),(EUR)\n" + RECORDS, {"header_rows": 2}),
        (HEAD + RECORDS + "\n8 rows\n", {"end_of_table": "(empty line)"}),
        (HEAD + RECORDS + "Total,,36.00\n", {"end_of_table": "Total"}),
        (HEAD + RECORDS.replace("\n", ",\n"), {}),
        ("Report,,,,\n,,,,\n" + (HEAD + RECORDS).replace("\n", ",,\n"), {"skip": 2}),
        ((HEAD + RECORDS).replace(",", "||"), {"delimiter": "||"}),
        (HEAD + RECORDS + "S-9,2026-02-01\n", {}),
        (HEAD + 'S-1,24" tube,3\nS-2,60" tripod,4\n', {"quote": ""}),
        (HEAD + "'S-1','a, b','3'\n'S-2','c','4'\n", {"quote": "'"}),
        (HEAD + 'S-1,"24\\" tube, long",3\nS-2,"x",4\n', {"escape": "\\"}),
    ],
)
def test_the_structure_of_a_text_file_is_found_and_its_settings_read_it(
    tmp_path: Path, text: str, stated: dict[str, object]
) -> None:
    found = _taken(tmp_path, text)
    delimiter = stated.pop("delimiter", ",")
    assert (stated_structure(found.source), found.source.delimiter) == (stated, delimiter)
    assert [header.split()[0] for header in found.sample.headers][:3] == list(HEADERS)
    assert {row[0] for row in found.sample.rows} <= {f"S-{day}" for day in range(1, 9)}
    assert bool(found.notes) == bool(stated)


@pytest.mark.parametrize("above", [["Report of May"], ["Document", None, "Amounts"], [None, "Account", None, 4711]])
def test_a_title_or_groups_of_a_workbook_are_no_headers(tmp_path: Path, above: list[object]) -> None:
    path, book = tmp_path / "log.xlsx", Workbook()
    for cells in (above, [], ["Order", "Paid", "Sum", "Note", "Zone"], ["S-1", "2026-01-31", 18.5, "x", 1]):
        book.active.append(cells)
    book.save(path)
    found = take_sample(path).sample
    assert (found.headers, [row[0] for row in found.rows]) == (("Order", "Paid", "Sum", "Note", "Zone"), ["S-1"])


def test_a_header_that_is_one_cell_short_names_no_column(tmp_path: Path) -> None:
    found = _taken(tmp_path, "Paid,Sum\n" + RECORDS)
    assert (found.sample.headers, found.source.header, found.source.skip) == (("1", "2", "3"), False, 1)
    assert found.sample.rows[0] == ("S-1", "2026-01-01", "1.50")
    assert "one cell less" in found.notes[0]


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        ("Rodzaj opłaty;Dłużyca", "windows-1250"),
        ("Größe;Länge;Volumen m³;¿Frágil?", "windows-1252"),
        ("Colis;Année;Poids", "windows-1252"),
    ],
)
def test_an_encoding_of_one_byte_is_known_by_words_that_no_language_has(text: str, encoding: str) -> None:
    assert encoding_of(text.encode(encoding)) == encoding
    assert encoding_of(text.encode()) == "utf-8"
