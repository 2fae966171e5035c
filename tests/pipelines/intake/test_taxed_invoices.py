"""Invoices whose rows state their tax beside the amount: drawn, imported, and held to plain sums."""

from __future__ import annotations

import csv
import io
import random
from collections import Counter
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.commands import map as command
from pipelines.intake import replaying
from pipelines.intake.file_lines import lines_of
from pipelines.intake.importing import import_files
from pipelines.intake.rejects_export import export
from pipelines.shop import settings, warehouse
from tests.pipelines.intake.mapped_shop import IN_EUROS, load_source, made_in, map_invoice
from tests.pipelines.intake.small_shop import NOW

HEADERS = ("Rechnung", "Rechnungsdatum", "Sendungsnummer", "Versanddatum", "Bezeichnung", "Betrag", "MwSt")
WORDS = ("Fracht", "Dieselzuschlag", "Inselzuschlag")


def drawn(seed: int, *, is_within: bool) -> tuple[list[list[str]], Counter[tuple[str, str]]]:
    """Rows of an invoice at 19 percent, and the cents that each parcel owes by word, the tax among them."""
    chance = random.Random(seed)
    rows, owed = [], Counter[tuple[str, str]]()
    for number in range(40):
        label, word, net = f"NL{number // 2:08}", WORDS[number % 2 + number % 3 // 2], chance.randint(90, 140_000)
        net = -net if number % 11 == 10 else net
        tax = 0 if number % 7 == 6 else int((Decimal(net) * 19 / 100).quantize(Decimal(1), ROUND_HALF_UP))
        owed[label, word] += net
        if tax:
            owed[label, "MwSt"] += tax
        amounts = (net + tax if is_within else net, tax)
        rows.append(["N1", "31.10.2026", label, "02.10.2026", word, *(german(each) for each in amounts)])
    return rows, owed


def german(cents: int) -> str:
    text = f"{cents / 100:,.2f}"
    return "" if not cents else text.replace(",", "_").replace(".", ",").replace("_", ".")


def written(path: Path, rows: list[list[str]]) -> None:
    path.write_text("".join(";".join(row) + "\n" for row in ([*HEADERS], *rows)), encoding="utf-8")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return made_in(tmp_path, f'{IN_EUROS}units = "metric"\n')


def mapped(shop: Path, rows: list[list[str]], *more: str) -> int:
    written(shop / "invoice-2026-09.csv", rows)
    return map_invoice(shop, shop / "invoice-2026-09.csv", "--as", "charges", *more)


def owed_on_record(shop: Path) -> dict[tuple[str, str], int]:
    with warehouse.reading(settings.load(shop)) as connection:
        asked = "select parcel_id, charge_code, sum(amount_cents)::bigint from accepted.charges group by all"
        return {(label, word): cents for label, word, cents in connection.execute(asked).fetchall()}


@pytest.mark.parametrize("is_within", [True, False])
def test_what_each_parcel_owes_is_the_sum_with_tax_apart(
    shop: Path, is_within: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    rows, owed = drawn(3, is_within=is_within)
    assert mapped(shop, rows) == 0
    shown = " ".join(capsys.readouterr().out.split())
    where = "taken out of Betrag, which contains it" if is_within else "on top of Betrag"
    assert f"a row for each charge and one for its MwSt, {where}" in shown
    assert "Not used" not in shown
    (source,) = settings.load(shop).sources
    assert (source.tax, source.is_tax_within) == ("MwSt", is_within)
    written(shop / "inbox" / "invoice-2026-10.csv", rows)
    loaded = settings.load(shop)
    (delivery,) = import_files(loaded, now=NOW)
    assert (delivery.error, delivery.rejected_count, delivery.ignored) == (None, 0, ())
    assert owed_on_record(shop) == dict(owed)
    with warehouse.reading(loaded) as connection:
        found = connection.execute("select row_number, parcel_id from accepted.charges").fetchall()
        lines = lines_of(connection, loaded, [(1, row) for row, _ in found])
    assert all(rows[lines[1, row] - 2][2] == label for row, label in found)
    assert int(replaying.compare(loaded)["differing_count"].sum()) == 0


def test_a_tax_that_cannot_be_taken_out_loses_nothing(shop: Path) -> None:
    rows, owed = drawn(4, is_within=True)
    assert mapped(shop, rows) == 0
    whole = owed_on_record_of(shop, rows, 5, "1O,00")
    assert {key for key in owed if owed[key] != whole.get(key)} == {(rows[5][2], rows[5][4]), (rows[5][2], "MwSt")}
    loaded = settings.load(shop)
    with warehouse.reading(loaded) as connection:
        asked = "select distinct line_number, column_name, reason from rejected.rows order by reason"
        (line, column, reason), _ = connection.execute(asked).fetchall()
        ((exported, _),) = export(connection, loaded, NOW)
    assert (line, column) == (7, "MwSt")
    assert reason.startswith(f"1O,00 cannot be taken out of {rows[5][5]}")
    # Each comes back as a charge of its own; the one without its tax has no amount until somebody states it.
    head, *lines = csv.reader(io.StringIO(exported.read_text(encoding="utf-8-sig")), delimiter=";")
    place = head.index("Betrag")
    assert sorted(line[place] for line in lines) == ["", "1O,00"]
    for line in lines:
        line[place] = rows[5][6] if line[place] else german(owed[rows[5][2], rows[5][4]])
    with (shop / "inbox" / exported.name).open("w", encoding="utf-8", newline="") as returned:
        csv.writer(returned, delimiter=";").writerows([head, *lines])
    (delivery,) = import_files(loaded, [shop / "inbox" / exported.name], now=NOW)
    assert (delivery.error, delivery.accepted_count, delivery.rejected_count) == (None, 2, 0)
    assert owed_on_record(shop) == dict(owed)


def owed_on_record_of(shop: Path, rows: list[list[str]], at: int, tax: str) -> dict[tuple[str, str], int]:
    wrong = [[*row[:-1], tax] if number == at else row for number, row in enumerate(rows)]
    written(shop / "inbox" / "invoice-2026-10.csv", wrong)
    (delivery,) = import_files(settings.load(shop), now=NOW)
    assert (delivery.error, delivery.rejected_count) == (None, 2)
    return owed_on_record(shop)


def test_a_twentieth_is_asked_about_and_no_leaves_it_out(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = [
        ["N1", "31.10.2026", f"NL{n:08}", "02.10.2026", "Fracht", german(500 * n), german(100 * n)] for n in range(1, 9)
    ]
    assert mapped(shop, rows) == command.OPEN
    assert "--tax MwSt=..." in capsys.readouterr().out
    assert mapped(shop, rows, "--tax", "MwSt=no") == 0
    (source,) = settings.load(shop).sources
    assert source.tax is None


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("is_tax_within = true", "is_tax_within is stated without tax"),
        ('tax = "T"\nkind = "sales"', "tax: of charges"),
        ('tax = "T"', "tax is stated without a column for charge_code"),
        ('tax = "T"\namounts = { "Base" = "Base" }', "tax is stated beside amounts"),
    ],
)
def test_a_tax_that_cannot_be_meant_is_refused(shop: Path, said: str, reason: str) -> None:
    with pytest.raises(SettingsError, match=reason):
        load_source(shop, said)
