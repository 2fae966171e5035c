"""`dunnage init`: a folder that loads, into which a filled template imports, and in which nothing is overwritten."""

from __future__ import annotations

import argparse
import csv
import io
import stat
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from openpyxl import load_workbook

from models.dictionary import entries
from models.errors import SettingsError
from models.reference import RECORDS
from models.shop_units import Units, measure_of
from pipelines.commands import init as command
from pipelines.intake.importing import import_files
from pipelines.shop import settings, warehouse
from pipelines.shop.settings import Shop
from pipelines.shop.starting import Answers, checked, complete, start
from pipelines.shop.starting.templates import MEANINGS, WORKBOOK, csv_name

NOW = datetime(2026, 11, 20, 12, tzinfo=UTC)
SYSTEMS = pytest.mark.parametrize("system", ["inch", "metric"])
SHOP = Shop('Joan\'s "Long" Goods\\', "EUR", "Europe/Berlin", 1850)


def _content(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@SYSTEMS
def test_the_settings_load_as_answered(tmp_path: Path, system: str) -> None:
    start(tmp_path / "shop", replace(SHOP, units=system))
    loaded = settings.load(tmp_path / "shop")
    assert loaded.shop == replace(SHOP, units=system)
    assert {source.kind for source in loaded.sources} == set(RECORDS)
    # Two templates of each kind, and the bench list.
    assert len({source.name for source in loaded.sources}) == 2 * len(RECORDS) + 1
    templates = [source for source in loaded.sources if source.name != "bench-list"]
    for source in templates:
        assert list(source.columns) == list(RECORDS[source.kind].columns)


def test_folders_are_the_owners_only(tmp_path: Path) -> None:
    start(tmp_path / "shop", SHOP)
    for name in ("inbox", "archive", "rejects", "reviews", "tariffs", "templates"):
        assert stat.S_IMODE((tmp_path / "shop" / name).stat().st_mode) == 0o700


@SYSTEMS
def test_templates_hold_headers_only_and_the_meanings_an_example_of_each(tmp_path: Path, system: str) -> None:
    start(tmp_path / "shop", replace(SHOP, units=system))
    named = Units("EUR", system).name
    for kind, schema in RECORDS.items():
        lines = list(csv.reader(io.StringIO((tmp_path / "shop" / "templates" / csv_name(kind)).read_text())))
        assert lines == [[named(column) for column in schema.columns]]
    book = load_workbook(tmp_path / "shop" / "templates" / WORKBOOK)
    assert book.sheetnames == [MEANINGS, *RECORDS]
    assert [book[kind].max_row for kind in RECORDS] == [1] * len(RECORDS)
    reported = {(row[0], row[1]): row[5] for row in book[MEANINGS].iter_rows(min_row=2, values_only=True) if row[1]}
    assert set(reported) == {(kind, named(name)) for kind, schema in RECORDS.items() for name in schema.columns}
    assert all(reported.values())


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    start(tmp_path, SHOP)
    before = _content(tmp_path)
    with pytest.raises(SettingsError, match="never overwritten"):
        start(tmp_path, replace(SHOP, name="Other"), is_forced=True)
    assert _content(tmp_path) == before


def test_a_folder_in_use_needs_force_and_keeps_its_files(tmp_path: Path) -> None:
    mine = tmp_path / "templates" / csv_name("sales")
    mine.parent.mkdir()
    mine.write_text("mine")
    with pytest.raises(SettingsError, match="is not empty"):
        start(tmp_path, SHOP)
    written, kept = start(tmp_path, SHOP, is_forced=True)
    assert kept == [mine]
    assert mine.read_text() == "mine"
    assert tmp_path / settings.FILE_NAME in written


def test_a_file_in_the_way_is_named(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("")
    with pytest.raises(SettingsError, match="is a file"):
        start(tmp_path / "shop", SHOP)


@pytest.mark.parametrize(
    ("answer", "value", "message"),
    [
        ("currency", "euros", "--currency"),
        ("time_zone", "Berlin", "--time-zone"),
        ("time_zone", "../etc", "--time-zone"),
        ("units", "", "--units"),
        ("units", "feet", "--units"),
        ("wage", "18,50", "--wage"),
        ("wage", "18.505", "--wage"),
        ("wage", "-1", "--wage"),
        ("wage", "nan", "--wage"),
    ],
)
def test_a_wrong_answer_is_named(answer: str, value: str, message: str) -> None:
    given = replace(complete(Answers(units="inch"), None), **{answer: value})
    with pytest.raises(SettingsError, match=message):
        checked(given)


def test_only_what_was_not_given_is_asked() -> None:
    asked: list[str] = []

    def ask(question: str, default: str) -> str:
        asked.append(default)
        return {"UTC": "", "0.00": "24.00", "USD": "eur", "": "Metric"}[default]

    shop = checked(complete(Answers(name="Mine"), ask))
    assert asked == ["USD", "UTC", "", "0.00"]
    assert shop == Shop("Mine", "EUR", "UTC", 2400, units="metric")


def test_without_a_terminal_nobody_is_asked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    with pytest.raises(SettingsError, match="--units"):
        command.run(parser.parse_args([str(tmp_path / "shop"), "--wage", "24.00"]))
    assert not (tmp_path / "shop").exists()
    assert command.run(parser.parse_args([str(tmp_path / "shop"), "--wage", "24.00", "--units", "inch"])) == 0
    assert settings.load(tmp_path / "shop").shop == Shop(wage_cents_per_hour=2400)
    assert "15 files written" in capsys.readouterr().out


@pytest.mark.parametrize("form", ["csv", "xlsx"])
@SYSTEMS
def test_templates_filled_with_the_examples_land_as_they_are(tmp_path: Path, form: str, system: str) -> None:
    start(tmp_path, replace(SHOP, units=system))
    FILL[form](tmp_path, Units("EUR", system))
    shop = settings.load(tmp_path)
    deliveries = import_files(shop, now=NOW)
    assert [each.error for each in deliveries if each.error] == []
    with warehouse.reading(shop) as connection:
        for kind, schema in RECORDS.items():
            names = ", ".join(schema.columns)
            landed = connection.execute(f"select {names} from accepted.{kind}").df()
            stated = [column.example for column in schema.columns.values()]
            assert len(landed) == 1
            for name, found, expected in zip(schema.columns, landed.iloc[0], stated, strict=True):
                if system == "metric" and measure_of(name):  # its example is written to a tenth of a centimetre
                    assert found == pytest.approx(expected, abs=0.02)
                else:
                    assert _plain(found) == _plain(expected)
        assert connection.execute("select count(*) from rejected.rows").fetchone() == (0,)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_templates_left_empty_land_nothing(tmp_path: Path, form: str) -> None:
    start(tmp_path, SHOP)
    for template in (tmp_path / "templates").glob(f"*.{form}"):
        (tmp_path / "inbox" / template.name).write_bytes(template.read_bytes())
    shop = settings.load(tmp_path)
    import_files(shop, now=NOW)
    with warehouse.reading(shop) as connection:
        for table in [*(f"accepted.{kind}" for kind in RECORDS), "rejected.rows"]:
            assert connection.execute(f"select count(*) from {table}").fetchone() == (0,)


def _fill_csv(folder: Path, units: Units) -> None:
    for kind, schema in RECORDS.items():
        header = (folder / "templates" / csv_name(kind)).read_text()
        cells = io.StringIO()
        csv.writer(cells).writerow(entry.example for entry in entries(schema, units))
        (folder / "inbox" / csv_name(kind)).write_text(header + cells.getvalue())


def _fill_workbook(folder: Path, units: Units) -> None:
    book = load_workbook(folder / "templates" / WORKBOOK)
    for kind, schema in RECORDS.items():
        examples = [
            units.value(name, column.example) if measure_of(name) else column.example
            for name, column in schema.columns.items()
        ]
        book[kind].append([("no", "yes")[cell] if isinstance(cell, bool) else cell for cell in examples])
    book.save(folder / "inbox" / WORKBOOK)


FILL = {"csv": _fill_csv, "xlsx": _fill_workbook}


def _plain(value: object) -> object:
    """Dates and numbers as text, so that an example and what the engine returns can be held side by side."""
    written = str(value).removesuffix(" 00:00:00")
    return written.removesuffix(".0") if not isinstance(value, bool) else written
