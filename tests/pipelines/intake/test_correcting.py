"""A ready correction of rejected rows: found by trying, applied to the map and to the rows by one option."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from models.cells.texts import Reading
from models.column_map.corrections import corrections
from models.errors import ColumnMapError, NotFoundError
from models.fields import Quantity
from models.records import CHARGES, SALES, WEIGHTS
from pipelines.cli import main
from pipelines.intake import correcting
from pipelines.intake.file_lines import lines_of
from pipelines.intake.importing import import_files
from pipelines.intake.mapping import answers_of
from pipelines.shop import settings, warehouse

NOW = datetime(2026, 11, 20, 9)
SHOP = """\
[shop]
currency = "EUR"

# The carrier's bills.
[[source]]
name = "bills"
kind = "charges"
files = "bills*.csv"
decimal = "."
[source.columns]
carrier = { value = "Northline" }
invoice_number = "Invoice"
line_number = { row = true }
invoiced_on = "Date" # as they write it
charge_code = "Charge"
charge_kind = { column = "Kind", values = { Fracht = "base" } }
amount_cents = "Net"
"""
BILLS = """\
Statement of October
Invoice,Date,Charge,Kind,Net
N1,2026-10-31,Carriage,Fracht,18.50
N1,2026-10-31,Long side,Zuschlag,4.20
N1,2026-10-31,Long side,Zuschlag,4.20
N1,2026-10-31,Oddity,Wundertuete,1.20
N1,03/10/2026,Carriage,Fracht,1.20
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / settings.FILE_NAME).write_text(SHOP)
    (tmp_path / "bills-10.csv").write_text(BILLS)
    found = settings.load(tmp_path)
    (delivery,) = import_files(found, [tmp_path / "bills-10.csv"], now=NOW)
    assert delivery.error is None and (delivery.accepted_count, delivery.rejected_count) == (1, 4)
    return tmp_path


def test_reasons_show_frequent_texts_the_files_own_line_and_a_correction(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--shop", str(shop), "rejects"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "bills-10.csv (source bills): 4 rows rejected" in shown
    assert '"Zuschlag" 2 times, "Wundertuete"; first in line 4' in shown
    assert "to correct: dunnage rejects --source bills --word charge_kind:Zuschlag=surcharge" in shown
    assert "charge_kind:Wundertuete=..., where ... is one of: base, fuel" in shown
    assert "--date-order dmy (or: mdy)" in shown


def test_one_option_corrects_the_map_and_the_rows(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--shop", str(shop), "rejects", "--word", "charge_kind:Zuschlag=surcharge"]) == 0
    assert "accepted 2, still rejected 2" in " ".join(capsys.readouterr().out.split())
    written = (shop / settings.FILE_NAME).read_text()
    assert "# The carrier's bills." in written and "# as they write it" in written
    (source,) = settings.load(shop).sources
    assert source.columns["charge_kind"].values == {"Fracht": "base", "Zuschlag": "surcharge"}
    with warehouse.reading(settings.load(shop)) as connection:
        kinds = connection.execute("select line_number, charge_kind from accepted.charges order by 1").fetchall()
    assert kinds == [(1, "base"), (2, "surcharge"), (3, "surcharge")]
    assert main(["--shop", str(shop), "rejects", "--date-order", "dmy"]) == 0
    with warehouse.reading(settings.load(shop)) as connection:
        assert connection.execute("select count(*) from accepted.charges").fetchall() == [(4,)]
        assert connection.execute("select count(*) from rejected.rows where resolved_by is null").fetchall() == [(1,)]


def test_what_cannot_be_meant_changes_nothing(shop: Path) -> None:
    found = settings.load(shop)
    for answers in (answers_of([], ["charge_kind:Zuschlag=extra"]), answers_of(["billed_weight_lb=kg"], [])):
        with pytest.raises(ColumnMapError):
            correcting.correct(found, None, answers, now=NOW)
    with pytest.raises(NotFoundError, match="has no rejected rows"):
        correcting.correct(found, "sales", answers_of([], ["charge_kind:Zuschlag=base"]), now=NOW)
    assert (shop / settings.FILE_NAME).read_text() == SHOP


def test_corrections_are_those_settings_by_which_the_texts_can_be_read() -> None:
    sold = Reading(Quantity.INSTANT)
    assert [each.shown for each in corrections("sold_at", SALES.columns["sold_at"], sold, ["31/12/26"])] == [
        "--date-order dmy"
    ]
    price = Reading(Quantity.MONEY)
    (mark,) = corrections("item_price_cents", SALES.columns["item_price_cents"], price, ["1.234", "2.500,00"])
    assert (mark.answers, mark.is_ready) == ((",",), True)
    scale = Reading(Quantity.WEIGHT, needs_unit=True)
    (unit,) = corrections("scale_weight_lb", WEIGHTS.columns["scale_weight_lb"], scale, ["12.4"])
    assert unit.answers == ("lb", "kg", "g", "oz") and not unit.is_ready
    assert corrections("sold_at", SALES.columns["sold_at"], sold, ["5 Junk 2026"]) == ()
    # A stated mark is never turned round: other rows were read by it.
    assert (
        corrections("amount_cents", CHARGES.columns["amount_cents"], Reading(Quantity.MONEY, decimal="."), ["1,2x"])
        == ()
    )


def test_lines_are_the_files_own_wherever_a_row_is_reported_of(shop: Path) -> None:
    found = settings.load(shop)
    with warehouse.reading(found) as connection:
        rejected = connection.execute("select row_number, line_number from rejected.rows order by 1").fetchall()
        accepted = connection.execute("select delivery_id, row_number from accepted.charges").fetchall()
        lines = lines_of(connection, found, [(1, number) for number, _ in rejected] + accepted)
    texts = BILLS.splitlines()
    assert {number: lines[1, number] for number, _ in rejected} == dict(rejected)
    assert [texts[line - 1].split(",")[2:4] for line in lines.values()] == [
        ["Carriage", "Fracht"],
        ["Long side", "Zuschlag"],
        ["Long side", "Zuschlag"],
        ["Oddity", "Wundertuete"],
        ["Carriage", "Fracht"],
    ]
