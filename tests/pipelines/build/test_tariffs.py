"""The shop's tariff files: read from its folder, loaded, named with file and line where they are wrong."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from models.contracts import validated
from models.errors import NotFoundError, TariffError
from models.tables.tariffs import TARIFFS
from pipelines import cli
from pipelines.build import tariff_files, tariffs
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings
from tests.pipelines.parcels import DEMO, rated_rows, requests


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    shutil.copytree(DEMO, tmp_path / "tariffs")
    (tmp_path / "dunnage.toml").write_text('[shop]\nname = "Trial"\n', encoding="utf-8")
    return Settings(folder=tmp_path)


def replaced(file: Path, before: str, after: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert before in text
    file.write_text(text.replace(before, after, 1), encoding="utf-8")


def test_the_shops_tariffs_are_loaded_and_keep_their_contracts(shop: Settings) -> None:
    with warehouse.writing(shop, "test") as connection:
        tariffs.write(connection, tariffs.tariffs_of(shop))
        tariffs.write(connection, tariffs.tariffs_of(shop))
        codes = connection.execute("select tariff_code from shop.tariffs order by 1").fetchall()
        for contract in TARIFFS:
            validated(connection.execute(f"select * from {contract.name}").df(), contract, "this test")
    assert codes == [("corvane-2025",), ("northline-2025",), ("northline-2026",)]


def test_a_shop_without_tariffs_has_empty_tables(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path)
    with warehouse.writing(settings, "test") as connection:
        tariffs.write(connection, tariffs.tariffs_of(settings))
        assert connection.execute("select count(*) from shop.tariff_prices").fetchall() == [(0,)]


def test_a_fault_names_file_and_line_and_nothing_is_loaded(shop: Settings) -> None:
    replaced(
        shop.folder / "tariffs" / "northline-2026.toml", "effective_from = 2026-01-12", "effective_from = 2026-01-11"
    )
    with (
        warehouse.writing(shop, "test") as connection,
        pytest.raises(TariffError, match=r"northline-2025\.toml, line 1"),
    ):
        tariffs.write(connection, tariffs.tariffs_of(shop))


def test_the_digest_follows_every_file(shop: Settings) -> None:
    before = tariff_files.digest(shop)
    assert tariff_files.digest(shop) == before
    prices = shop.folder / "tariffs" / "northline-2026.csv"
    prices.write_text(prices.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert tariff_files.digest(shop) != before


def test_an_unknown_code_lists_the_known_ones(shop: Settings) -> None:
    assert tariffs.named(shop, "corvane-2025").carrier == "Corvane"
    with pytest.raises(NotFoundError, match="use one of: corvane-2025, northline-2025, northline-2026"):
        tariffs.named(shop, "corvane-2024")


def test_check_prints_each_finding_with_its_line(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    file = shop.folder / "tariffs" / "northline-2026.toml"
    assert cli.main(["tariff", "check", str(file)]) == 0
    replaced(file, 'measure = "longest_side"', 'measure = "girth"')
    assert cli.main(["tariff", "check", str(file)]) == 1
    line = 1 + file.read_text(encoding="utf-8").splitlines().index("when = [")
    assert f"stop: northline-2026.toml, line {line}: when names the unknown measure girth" in capsys.readouterr().out
    assert cli.main(["tariff", "check", str(file.with_name("none.toml"))]) == 1
    assert "does not exist" in capsys.readouterr().err


def test_show_prints_rules_and_prices(shop: Settings, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--shop", str(shop.folder), "tariff", "show", "corvane-2025"]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("corvane-2025 of Corvane, from 2025-01-01. Source: Invented for the demo shop.")
    assert "economy: prices by kg" in printed
    assert "$5." in printed or "€" in printed


def test_format_prints_a_tariff(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["tariff", "format"]) == 0
    assert tomllib.loads(capsys.readouterr().out)["carrier"] == "Northline"


def test_a_reader_may_ask_what_ifs_and_the_warehouse_stays_as_it_was(shop: Settings) -> None:
    with warehouse.writing(shop, "test") as connection:
        tariffs.write(connection, tariffs.tariffs_of(shop))
    before = {file.name: file.read_bytes() for file in shop.folder.glob("*.duckdb")}
    asked = requests({"carrier": "Northline", "service": "ground", "zone": "5"})
    with warehouse.reading(shop) as connection:
        first = rated_rows(connection, asked)
        assert rated_rows(connection, asked).equals(first)
        assert first["expected_cents"].notna().all()
    assert {file.name: file.read_bytes() for file in shop.folder.glob("*.duckdb")} == before
