"""`dunnage map`: names, stated columns, and what stands in dunnage.toml afterwards."""

from __future__ import annotations

import argparse
import stat
from datetime import datetime
from pathlib import Path

import pytest

from models.errors import ColumnMapError, SettingsError
from pipelines.commands import map as command
from pipelines.intake.importing import import_files
from pipelines.intake.mapping import glob_for, propose_for, stated_pairings
from pipelines.intake.mapping.writing import write_source
from pipelines.shop import settings

EXPORT = """\
Order;Pos;Paid at;Buyer;Item;Qty;Unit price;Postage paid;Home
S-1;1;31/12/2025 14:20;Buyer 1;tripod;1;1.289,00;34,50;J
S-2;1;02/01/2026 09:00;Buyer 2;eyepiece;2;18,50;0,00;N
"""
SETTINGS = """\
# Mine.
[shop]
name = "Test"  # kept

# Also kept.
"""


@pytest.fixture
def export(tmp_path: Path) -> Path:
    (tmp_path / settings.FILE_NAME).write_text(SETTINGS)
    path = tmp_path / "Sales 2026-01.csv"
    path.write_text(EXPORT)
    return path


def _run(folder: Path, *words: str) -> int:
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    args = parser.parse_args(list(words))
    args.shop = folder
    return command.run(args)


@pytest.mark.parametrize(
    ("file_name", "glob"),
    [
        ("sales-2026-10.csv", "sales-*.csv"),
        ("Sales 2026-01 final.csv.gz", "Sales * final.csv.gz"),
        ("cartons.csv", "cartons.csv"),
        ("20261001.csv", "20261001.csv"),  # "*.csv" would take every file
        ("q4.xlsx", "q4.xlsx"),
    ],
)
def test_globs(file_name: str, glob: str) -> None:
    assert glob_for(file_name) == glob


def test_what_is_written_reads_back(export: Path) -> None:
    assert _run(export.parent, str(export), "--as", "sales", "--write") == 0
    (source,) = settings.load(export.parent).sources
    assert (source.name, source.kind, source.files) == ("sales", "sales", "Sales *.csv")
    assert (source.delimiter, source.decimal, source.date_order) == (";", ",", "dmy")
    assert {name: said.column for name, said in source.columns.items()} == {
        "sale_id": "Order",
        "line_number": "Pos",
        "sold_at": "Paid at",
        "item_type": "Item",
        "quantity": "Qty",
        "item_price_cents": "Unit price",
        "shipping_charged_cents": "Postage paid",
    }


def test_comments_stay_and_reasons_become_comments(export: Path) -> None:
    path = export.parent / settings.FILE_NAME
    path.chmod(0o640)
    _run(export.parent, str(export), "--as", "sales", "--write")
    written = path.read_text()
    assert written.startswith(SETTINGS)
    assert 'quantity = "Qty" # header means "quantity"; all 2 values look like whole numbers' in written
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [each.name for each in export.parent.iterdir() if each.name.startswith(".")] == []


def test_nothing_is_written_unless_asked(export: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _run(export.parent, str(export)) == 0
    assert (export.parent / settings.FILE_NAME).read_text() == SETTINGS
    shown = capsys.readouterr().out
    assert "as sales" in shown
    assert "Look personal, never stored: Buyer" in shown
    assert "Not used: Home" in shown


def test_a_source_is_replaced_only_when_asked(export: Path) -> None:
    _run(export.parent, str(export), "--as", "sales", "--write")
    with pytest.raises(ColumnMapError, match="has a source 'sales' already"):
        _run(export.parent, str(export), "--as", "sales", "--write")
    with pytest.raises(ColumnMapError, match="already takes this file"):
        _run(export.parent, str(export), "--as", "sales", "--name", "other", "--write")
    stated = ("--column", "item_type=Pos", "--constant", "line_number=1", "--without", "sku")
    assert _run(export.parent, str(export), "--write", "--replace", *stated) == 0
    (source,) = settings.load(export.parent).sources
    assert source.columns["item_type"].column == "Pos"
    assert source.columns["line_number"].value == "1"


def test_a_replaced_source_goes_on_taking_the_files_that_it_took(export: Path) -> None:
    def taken(*words: str) -> str:
        assert _run(export.parent, str(export), "--as", "sales", "--write", *words) == 0
        return settings.load(export.parent).sources[0].files

    wide = taken()
    narrow = export.name
    assert wide != narrow
    assert taken("--replace", "--files", narrow) == narrow
    assert taken("--replace") == narrow
    assert taken("--replace", "--files", wide) == wide


def test_sources_stand_side_by_side(export: Path) -> None:
    claims = export.parent / "claims-1.jsonl"
    claims.write_text('{"case": "C1", "label": "P1", "reported": "2026-01-31", "reason": "Bruch", "status": "filed"}\n')
    _run(export.parent, str(export), "--write")
    _run(export.parent, str(claims), "--write")
    first, second = settings.load(export.parent).sources
    assert (first.name, second.name) == ("sales", "claims")
    assert second.format == "jsonl"
    assert second.columns["claim_cause"].values == {"Bruch": "damage"}


def test_missing_columns_are_never_written(export: Path) -> None:
    export.write_text(EXPORT.replace("Qty", "Zzz"))
    assert _run(export.parent, str(export), "--as", "sales", "--write") == command.OPEN
    assert (export.parent / settings.FILE_NAME).read_text() == SETTINGS


def test_a_header_with_a_line_break_makes_no_broken_file(export: Path) -> None:
    export.write_text(
        '"Order\nno";Pos;Paid at;Item;Qty;"Unit ""price""";Postage\nS-1;1;2025-12-31;tripod;1;18,50;0,50\n'
    )
    write_source(export.parent, propose_for(export, "sales"))
    columns = settings.load(export.parent).sources[0].columns
    assert columns["sale_id"].column == "Order no"
    assert columns["item_price_cents"].column == 'Unit "price"'


@pytest.mark.parametrize("said", ["carrier", "=x", "carrier="])
def test_a_statement_without_a_sign_is_named(said: str) -> None:
    with pytest.raises(ColumnMapError, match="NAME=WORDS"):
        stated_pairings([said], [])


def test_unknown_names_are_named(export: Path) -> None:
    with pytest.raises(ColumnMapError, match="is no kind of record"):
        propose_for(export, "sail")
    with pytest.raises(ColumnMapError, match="is no column of sales"):
        propose_for(export, "sales", stated=stated_pairings([], ["parcel=1"]))
    with pytest.raises(ColumnMapError, match="is no header of this file"):
        propose_for(export, "sales", stated=stated_pairings(["quantity=Pieces"], []))


def test_a_personal_column_is_refused_even_when_stated(export: Path) -> None:
    with pytest.raises(ColumnMapError, match="looks personal"):
        propose_for(export, "sales", stated=stated_pairings(["channel=Buyer"], []))


def test_without_settings_there_is_nowhere_to_write(export: Path) -> None:
    (export.parent / settings.FILE_NAME).unlink()
    assert _run(export.parent, str(export)) == 0
    with pytest.raises(SettingsError, match="dunnage init"):
        _run(export.parent, str(export), "--write")


def test_the_structure_that_was_found_is_written_and_reads_the_file(tmp_path: Path) -> None:
    (tmp_path / settings.FILE_NAME).write_text(SETTINGS)
    rows = "".join(f"SKU-{number}|tube, 'long'|{number}\n" for number in range(1, 9))
    path = tmp_path / "skus-1.csv"
    path.write_text("Stock list\n\nSKU|Item type|Shelf\n(code)|(text)|(no.)\n" + rows + "\nprinted today\n")
    write_source(tmp_path, propose_for(path, "skus"))
    (source,) = settings.load(tmp_path).sources
    found = (source.delimiter, source.skip, source.header_rows, source.end_of_table)
    assert found == ("|", 2, 2, "(empty line)")
    (delivery,) = import_files(settings.load(tmp_path), [path], now=datetime(2026, 11, 20))
    assert delivery.error is None and (delivery.accepted_count, delivery.rejected_count) == (8, 0)


@pytest.mark.parametrize("said", ["scale_weight_lb=heft [kg]", "scale_weight_lb=heft[kg]"])
def test_a_unit_is_stated_behind_the_header(tmp_path: Path, said: str) -> None:
    file = tmp_path / "bench.csv"
    file.write_text("parcel,heft\nP1,11.4\nP2,3.1\n")
    proposed = propose_for(file, "weights", stated=stated_pairings([said], []))
    (found,) = (each for each in proposed.proposal.pairings if each.column == "scale_weight_lb")
    assert (found.source, found.unit) == ("heft", "kg")


def test_a_header_that_ends_with_its_unit_is_that_header(tmp_path: Path) -> None:
    file = tmp_path / "bench.csv"
    file.write_text("parcel,heft [kg]\nP1,11.4\n")
    proposed = propose_for(file, "weights", stated=stated_pairings(["scale_weight_lb=heft [kg]"], []))
    assert {each.source for each in proposed.proposal.pairings if each.column == "scale_weight_lb"} == {"heft [kg]"}


@pytest.mark.parametrize("said", ["scale_weight_lb=heft [cm]", "scale_weight_lb=heft [stone]", "packer=heft [kg]"])
def test_a_unit_of_something_else_is_refused(tmp_path: Path, said: str) -> None:
    file = tmp_path / "bench.csv"
    file.write_text("parcel,heft\nP1,11.4\n")
    with pytest.raises(ColumnMapError, match="is no unit of"):
        propose_for(file, "weights", stated=stated_pairings([said], []))
