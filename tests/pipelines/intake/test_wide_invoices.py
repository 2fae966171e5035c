"""Invoices with a column for each charge: proposed where amounts add up to a total, read as a row for each charge."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from openpyxl import Workbook

from models.column_map import Sample, found_amounts
from models.errors import ColumnMapError, SettingsError
from pipelines.intake import replaying
from pipelines.intake.file_lines import lines_of
from pipelines.intake.importing import import_files
from pipelines.intake.mapping.amounts import proposed_amounts
from pipelines.intake.rejects_export import export
from pipelines.shop import settings, warehouse
from tests.pipelines.intake.mapped_shop import IN_EUROS, load_source, made_in, map_invoice
from tests.pipelines.intake.small_shop import NOW

ENGLISH = """\
Invoice number,Invoice date,Tracking number,Ship date,Billed weight (lb),Base,Fuel,Remote area,Total
N1,2026-10-31,NL40000001,2026-10-02,12,18.50,1.25,0.00,19.75
N1,2026-10-31,NL40000002,2026-10-02,9,11.00,0.75,4.50,16.25
N1,2026-10-31,NL40000003,2026-10-05,30,25.10,1.90,,27.00
N1,2026-10-31,NL40000004,2026-10-06,7,10.00,0.70,0.00,10.80
N1,2026-10-31,NL40000005,2026-10-06,8,1O.00,0.70,0.00,10.70
N1,2026-10-31,NL40000006,2026-10-06,8,-10.00,-0.70,0.00,-10.70
"""
GERMAN = """\
Rechnungsnummer;Rechnungsdatum;Sendungsnummer;Versanddatum;Gewicht (kg);Grundpreis;Dieselzuschlag;Inselzuschlag;Summe
N1;31.10.2026;NL40000001;02.10.2026;5,5;18,50;1,25;0,00;19,75
N1;31.10.2026;NL40000002;02.10.2026;4,0;1.011,00;0,75;4,50;1.016,25
N1;31.10.2026;NL40000003;05.10.2026;13,6;25,10;1,90;;27,00
N1;31.10.2026;NL40000004;06.10.2026;3,2;10,00;0,70;0,00;10,80
N1;31.10.2026;NL40000005;06.10.2026;3,6;1O,00;0,70;0,00;10,70
N1;31.10.2026;NL40000006;06.10.2026;3,6;-10,00;-0,70;0,00;-10,70
"""
LINES = "select parcel_id, charge_code, amount_cents, row_number from accepted.charges order by row_number"


def proven(text: str) -> str:
    """The file without the row that does not add up and the one that cannot be read."""
    return "".join(line for line in text.splitlines(keepends=True) if "00004" not in line and "00005" not in line)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return made_in(tmp_path, f'{IN_EUROS}units = "metric"\n')


def mapped(shop: Path, text: str, *more: str) -> int:
    """Map a proven file of one month, then put the file of another into the inbox."""
    (shop / "invoice-2026-09.csv").write_text(proven(text), encoding="utf-8")
    (shop / "inbox" / "invoice-2026-10.csv").write_text(text, encoding="utf-8")
    return map_invoice(shop, shop / "invoice-2026-09.csv", *more)


@pytest.mark.parametrize(
    ("text", "words", "carriage"),
    [
        (ENGLISH, ("Base", "Fuel", "Remote area"), 1_100),
        (GERMAN, ("Grundpreis", "Dieselzuschlag", "Inselzuschlag"), 101_100),
    ],
    ids=["english", "german"],
)
def test_each_cell_is_a_charge_traceable_to_row_and_column(
    shop: Path, text: str, words: tuple[str, str, str], carriage: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert mapped(shop, text) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert f"a row for each charge of {', '.join(words)}" in shown
    assert "9 of 9 rows would be accepted" in shown
    assert f'What is "{words[0]}" of Northline' in shown
    (source,) = settings.load(shop).sources
    assert source.amounts == dict(zip(words, words, strict=True))
    loaded = settings.load(shop)
    (delivery,) = import_files(loaded, now=NOW)
    assert delivery.error is None
    base, fuel, remote = words
    with warehouse.reading(loaded) as connection:
        landed = connection.execute(LINES).fetchall()
        lines = lines_of(connection, loaded, [(1, row[3]) for row in landed])
        rejected = connection.execute(
            "select line_number, column_name, reason from rejected.rows order by all"
        ).fetchall()
    assert [(row[:3], lines[1, row[3]]) for row in landed] == [
        (("NL40000001", base, 1_850), 2),
        (("NL40000001", fuel, 125), 2),
        (("NL40000002", base, carriage), 3),
        (("NL40000002", fuel, 75), 3),
        (("NL40000002", remote, 450), 3),
        (("NL40000003", base, 2_510), 4),
        (("NL40000003", fuel, 190), 4),
        (("NL40000006", base, -1_000), 7),
        (("NL40000006", fuel, -70), 7),
    ]
    # Line 5 does not add up; in line 6 an amount has a letter, so that its total proves nothing.
    assert [(line, column) for line, column, _ in rejected] == [(5, source.total)] * 2 + [(6, source.total)] * 2
    assert "the amounts add up to 10.70" in rejected[0][2]
    assert "cannot be held to the amounts" in rejected[2][2]
    assert int(replaying.compare(loaded)["differing_count"].sum()) == 0


def test_rejected_charges_come_back_one_by_one(shop: Path) -> None:
    mapped(shop, ENGLISH)
    loaded = settings.load(shop)
    import_files(loaded, now=NOW)
    with warehouse.reading(loaded) as connection:
        ((exported, _),) = export(connection, loaded, NOW)
    returned = shop / "inbox" / exported.name
    returned.write_text(exported.read_text(encoding="utf-8-sig").replace("1O.00", "10.00"), encoding="utf-8")
    (delivery,) = import_files(loaded, [returned], now=NOW)
    assert (delivery.error, delivery.accepted_count) == (None, 4)
    with warehouse.reading(loaded) as connection:
        assert connection.execute("select 1 from rejected.rows where resolved_by is null").fetchall() == []
        repeated = "select 1 from accepted.charges group by carrier, invoice_number, line_number having count(*) > 1"
        assert connection.execute(repeated).fetchall() == []
        total = "select sum(amount_cents)::bigint from accepted.charges"
        assert connection.execute(total).fetchall() == [(1_975 + 1_625 + 2_700 + 1_070 + 1_070 - 1_070,)]


def test_a_workbook_is_read_the_same_way(shop: Path) -> None:
    mapped(shop, ENGLISH)
    (shop / "inbox" / "invoice-2026-10.csv").unlink()
    book = Workbook()
    for number, line in enumerate(ENGLISH.splitlines()):
        cells: list[object] = [*line.split(",")]
        if number:
            cells[5:] = [float(cell) if cell.replace(".", "").lstrip("-").isdigit() else cell for cell in cells[5:]]  # type: ignore[attr-defined, arg-type]
        book.active.append(cells)
    written = io.BytesIO()
    book.save(written)
    text = (shop / settings.FILE_NAME).read_text(encoding="utf-8")
    text = text.replace('format = "csv"', 'format = "xlsx"').replace("invoice-*.csv", "invoice-*.xlsx")
    (shop / settings.FILE_NAME).write_text(text, encoding="utf-8")
    (shop / "inbox" / "invoice-2026-10.xlsx").write_bytes(written.getvalue())
    loaded = settings.load(shop)
    (delivery,) = import_files(loaded, now=NOW)
    assert (delivery.error, delivery.accepted_count, delivery.rejected_count) == (None, 9, 4)


def test_columns_and_words_can_be_stated(shop: Path) -> None:
    stated = ("--amount", "Base", "--amount", "Fuel=Energy adj.", "--amount", "Remote area=Remote", "--total", "Total")
    assert mapped(shop, ENGLISH, *stated) == 0
    (source,) = settings.load(shop).sources
    assert (source.amounts["Fuel"], source.total) == ("Energy adj.", "Total")


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ('total = "Total"', "total is stated without amounts"),
        ('amounts = { "Base" = "Base" }\nkind = "sales"', "amounts: of charges"),
    ],
)
def test_amounts_that_cannot_be_meant_are_refused(shop: Path, said: str, reason: str) -> None:
    with pytest.raises(SettingsError, match=reason):
        load_source(shop, said)


TAXED = """\
Consignment;Collected;Invoice number;Invoice date;Base £;Fuel £;Surcharge £;Net £;VAT £;Gross £
B1;20/04/2026;N7;03/05/2026;9.92;0.84;;10.76;2.15;12.91
B2;27/04/2026;N7;03/05/2026;8.91;0.76;;9.67;1.93;11.60
B3;27/04/2026;N7;03/05/2026;20.00;1.70;11.00;32.70;6.54;39.24
B4;28/04/2026;N7;03/05/2026;7.00;0.60;;7.60;0.00;7.60
"""


def test_a_tax_on_top_of_the_charges_is_one_of_them(shop: Path) -> None:
    assert mapped(shop, TAXED) == 0
    loaded = settings.load(shop)
    (source,) = loaded.sources
    assert (list(source.amounts), source.total) == (["Base £", "Fuel £", "Surcharge £", "VAT £"], "Gross £")
    (delivery,) = import_files(loaded, now=NOW)
    assert (delivery.error, delivery.rejected_count) == (None, 0)
    with warehouse.reading(loaded) as connection:
        asked = "select sum(amount_cents)::bigint, sum(amount_cents) filter (charge_code = 'VAT £')::bigint"
        assert connection.execute(f"{asked} from accepted.charges").fetchall() == [(7_135, 1_062)]


def test_a_tax_of_rows_is_refused_where_each_charge_has_a_column(shop: Path) -> None:
    with pytest.raises(ColumnMapError, match="without a column for each charge"):
        mapped(shop, TAXED, "--tax", "VAT £=on top")


ROWS = (("A", "5.00", "1.00", "6.00"), ("B", "7.00", "2.00", "9.00"), ("C", "1.50", "0.50", "2.00"))


@pytest.mark.parametrize(
    ("headers", "rows", "is_found"),
    [
        (("Label", "Base", "Fuel", "Total"), ROWS, True),
        (("Label", "Base", "Fuel", "Total"), (*ROWS, ("D", "1.00", "1.00", "2.01")), False),
        (("Label", "Base", "Fuel", "Total"), ROWS[:2], False),
        (("Label", "Net", "Tax", "Gross"), ROWS, False),
        (("Label", "Base", "Fuel", "Total"), [(row[0], row[1], "0.00", row[1]) for row in ROWS], False),
    ],
)
def test_amounts_side_by_side_are_found_only_where_every_row_adds_up(
    headers: tuple[str, ...], rows: tuple[tuple[str, ...], ...], is_found: bool
) -> None:
    found = found_amounts(Sample(headers, tuple(rows)))
    assert (found is not None) is is_found
    if found is not None:
        assert (list(found.amounts), found.total) == (["Base", "Fuel"], "Total")


PARCEL = ("Label", "Date shipped", "Service", "Weight lb")


@pytest.mark.parametrize(
    ("charges", "is_invoice"),
    [
        (("Freight", "Fuel", "Total"), True),
        (("Transport", "Surcharge", "Due"), True),
        (("Postage", "Cover", "Paid"), False),
    ],
)
def test_a_wide_invoice_of_labels_is_no_label_history(charges: tuple[str, ...], is_invoice: bool) -> None:
    """It names no invoice. What a label history splits up is postage and insurance."""
    rows = ((f"NL{row[0]}", "2026-10-01", "ground", "8", *row[1:]) for row in ROWS)
    sample = Sample((*PARCEL, *charges), tuple(rows))
    assert (proposed_amounts(sample, None, {}, ()) is not None) is is_invoice
    assert proposed_amounts(sample, "labels", {}, ()) is None
