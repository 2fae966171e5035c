"""Invoices whose number stands in the file's name alone: proposed, read, replayed, and kept by rows sent again."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.cli import main
from pipelines.intake import replaying
from pipelines.intake.importing import import_files
from pipelines.intake.rejects_export import export
from pipelines.shop import settings, warehouse
from tests.pipelines.intake.mapped_shop import made_in
from tests.pipelines.intake.small_shop import NOW
from tests.pipelines.intake.test_joining import answered

HEAD = "Consignment,Invoice date,Charge,Amount,Line\n"
LINES = "select invoice_number, line_number, parcel_id, amount_cents from accepted.charges order by all"


def bill(first: int, broken: str = "") -> str:
    rows = [f"SK{first + at},2026-10-{at + 1:02},Carriage,{first + at}.{at}0,{at + 1}\n" for at in range(8)]
    return (HEAD + "".join(rows)).replace(f"{broken},", "1O.00,") if broken else HEAD + "".join(rows)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    made_in(tmp_path)
    for number, first in ((311, 100), (312, 200), (313, 300)):
        (tmp_path / "inbox" / f"Skerrow bill {number}.csv").write_text(bill(first, "203.30"))
    return tmp_path


def mapped(shop: Path, *more: str) -> int:
    file = str(shop / "inbox" / "Skerrow bill 311.csv")
    return main(
        ["--shop", str(shop), "map", file, "--as", "charges", "--constant", "carrier=Skerrow", "--write", *more]
    )


def proposed(capsys: pytest.CaptureFixture[str]) -> list[str]:
    """The options that the map's questions propose, of the invoice's number alone."""
    said = " ".join(capsys.readouterr().out.split())
    assert "--constant invoice_number" not in said
    return shlex.split(said[said.index("--from-name ") :])[:2]


def test_the_number_of_each_invoice_is_read_from_its_files_name(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert mapped(shop, "--yes") != 0
    answer = proposed(capsys)
    assert answer == ["--from-name", "invoice_number=Skerrow bill *.csv"]
    assert mapped(shop, "--yes", *answer) == 0
    taken = import_files(settings.load(shop), None, now=NOW)
    assert [(each.error, each.accepted_count, each.corrected_count) for each in taken] == [
        (None, 8, 0),
        (None, 7, 0),
        (None, 8, 0),
    ]
    (sent, _), *_ = _exported(shop)
    sent.write_text(sent.read_text(encoding="utf-8-sig").replace("1O.00", "203.30"), encoding="utf-8")
    (again,) = import_files(settings.load(shop), [sent], now=NOW)
    assert again.error is None and again.resolved_count == 1
    wanted = [
        (str(number), at + 1, f"SK{first + at}", 100 * (first + at) + 10 * at)
        for number, first in ((311, 100), (312, 200), (313, 300))
        for at in range(8)
    ]
    assert answered(shop, LINES) == wanted
    assert int(replaying.compare(settings.load(shop))["differing_count"].sum()) == 0


def _exported(shop: Path) -> list[tuple[Path, int]]:
    with warehouse.reading(settings.load(shop)) as connection:
        return export(connection, settings.load(shop), NOW)


def test_a_file_of_another_name_is_refused(shop: Path) -> None:
    assert mapped(shop, "--yes", "--from-name", "invoice_number=Skerrow bill *.csv") == 0
    other = shop / "Skerrow bill .csv"
    other.write_text(bill(400))
    (refused,) = import_files(settings.load(shop), [other], now=NOW, source="skerrow-bill")
    assert "is not named as 'Skerrow bill *.csv'" in str(refused.error)


@pytest.mark.parametrize("pattern", ["bill.csv", "*-*.csv"])
def test_a_name_has_one_star(shop: Path, pattern: str) -> None:
    assert mapped(shop, "--yes", "--from-name", "invoice_number=Skerrow bill *.csv") == 0
    path = shop / settings.FILE_NAME
    path.write_text(path.read_text().replace('{name = "Skerrow bill *.csv"}', f'{{name = "{pattern}"}}'))
    with pytest.raises(SettingsError):
        settings.load(shop)


@pytest.mark.parametrize(("name", "offered"), [("bill 7.csv", "--from-name"), ("bill.csv", "--constant")])
def test_one_number_for_every_row_is_offered_only_where_one_file_comes(
    tmp_path: Path, name: str, offered: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A column that may be the number is offered first."""
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "EUR"\n')
    file = tmp_path / name
    head, *rows = bill(100).splitlines()
    file.write_text("\n".join([f"{head},Batch", *(f"{row},North" for row in rows)]))
    assert main(["--shop", str(tmp_path), "map", str(file), "--as", "charges", "--yes"]) != 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"--column invoice_number=Batch, or {offered} invoice_number=..." in said
