"""`dunnage map` asks only what a file leaves open, shows how it reads, and tries the map on every row."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import pytest

from models.errors import ColumnMapError
from pipelines.commands import map as command
from pipelines.intake.mapping import answers_of, propose_for
from pipelines.intake.mapping.asking import answers
from pipelines.shop import settings

OPEN_FILE = """\
Paketnummer;Auftragsnummer;Auftragsposition;Gepackte Menge;Versanddatum;Spediteur;Leistung;Gewicht;Wert versichert
P1;S-1;1;1;03/04/2026;Northline;ground;1,234;10,00
P2;S-2;1;1;05/04/2026;Northline;ground;2,5;9,00
"""
INVOICE = """\
Carrier,Invoice no,Invoice line,Invoice date,Tracking number,Charge description,Charge category,Net amount EUR
Northline,N1,1,2026-01-31,P1,Carriage,base,18.50
Northline,N1,2,2026-01-31,P1,Diesel,fuel,1.2x
Northline,N1,3,2026-01-31,P1,Oddity,qqq,1.20
Northline,N1,4,2026-01-31,P1,Oddity,qqq,1.20
"""


def _run(folder: Path, *words: str) -> int:
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    args = parser.parse_args(list(words))
    args.shop = folder
    return command.run(args)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "EUR"\n')
    (tmp_path / "bench-1.csv").write_text(OPEN_FILE)
    (tmp_path / "invoice-1.csv").write_text(INVOICE)
    return tmp_path


def test_a_script_gets_each_question_with_its_option_and_an_exit_code(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _run(shop, str(shop / "bench-1.csv"), "--write") == command.OPEN
    shown = capsys.readouterr().out
    assert "--date-order dmy" in shown
    assert "--unit scale_weight_lb=lb" in shown
    assert "date order: not known" in shown
    assert "decimal mark: comma" in shown
    assert "currency: EUR, the shop's" in shown
    assert (shop / settings.FILE_NAME).read_text() == '[shop]\ncurrency = "EUR"\n'
    stated = ("--date-order", "dmy", "--unit", "scale_weight_lb=kg", "--write")
    assert _run(shop, str(shop / "bench-1.csv"), *stated) == 0
    shown = capsys.readouterr().out
    assert "units: scale_weight_lb kg" in shown
    assert "2 of 2 rows would be accepted" in shown
    (source,) = settings.load(shop).sources
    assert (source.date_order, source.columns["scale_weight_lb"].unit) == ("dmy", "kg")


def test_a_dialogue_asks_what_is_open_and_nothing_more(shop: Path) -> None:
    proposed = propose_for(shop / "bench-1.csv", None)
    asked: list[str] = []

    def ask(question: str) -> str:
        asked.append(question)
        return "1" if "order" in question else "kg"

    assert answers(proposed.questions, ask) == ["--date-order", "dmy", "--unit", "scale_weight_lb=kg"]
    assert len(asked) == 2


def test_at_a_terminal_the_answers_are_taken(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    given = iter(["dmy", "2"])
    monkeypatch.setattr("builtins.input", lambda _: next(given))
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    assert _run(shop, str(shop / "bench-1.csv"), "--write") == 0
    assert "--date-order dmy --unit scale_weight_lb=kg" in capsys.readouterr().out
    assert settings.load(shop).sources[0].columns["scale_weight_lb"].unit == "kg"


def test_an_empty_answer_leaves_a_question_open(shop: Path) -> None:
    assert answers(propose_for(shop / "bench-1.csv", None).questions, lambda _: "") == []


def test_what_enter_does_is_said_in_the_question_and_what_stayed_open_at_the_end(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of two questions one is answered: the other is asked once more, then named with the option that answers it."""
    asked: list[str] = []
    given = iter(["dmy", "", ""])

    def ask(question: str) -> str:
        asked.append(question)
        return next(given)

    monkeypatch.setattr("builtins.input", ask)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    before = (shop / settings.FILE_NAME).read_text()
    assert _run(shop, str(shop / "bench-1.csv"), "--write") == command.OPEN
    assert len(asked) == 3
    assert all(question.endswith("(Enter leaves it open, and the map unwritten): ") for question in asked)
    shown = capsys.readouterr().out
    assert "1 question is open; nothing was written." in shown
    assert shown.splitlines()[-1].strip() == "--unit scale_weight_lb=lb"
    assert (shop / settings.FILE_NAME).read_text() == before


def test_a_discount_answers_no_question_and_is_not_passed_over_in_silence(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No figure here is reckoned from it; a file that states one is told so, in whatever language."""
    for word in ("Discount", "Rabatt", "Remise", "Descuento"):
        (shop / "sales.csv").write_text(
            f"Order no,Line,Ordered on,Item,Qty,Line sum,{word},Shipping paid by buyer\n"
            "S-1,1,2026-10-01,frame,1,95.00,9.50,12.00\nS-1,2,2026-10-01,pane,1,40.00,,3.00\n"
        )
        assert _run(shop, str(shop / "sales.csv"), "--as", "sales") == command.OPEN
        shown = " ".join(capsys.readouterr().out.split())
        assert f"No column keeps a discount ({word}): prices of goods count as the file states them." in shown
        assert f"={word}" not in shown


def test_the_dry_run_names_reasons_with_their_most_frequent_texts(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(path.name for path in shop.rglob("*"))
    assert _run(shop, str(shop / "invoice-1.csv"), "--yes") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "1 of 4 rows would be accepted" in shown
    assert "2 rejected: charge_kind" in shown and '"qqq" 2 times; first line 4' in shown
    assert "1 rejected: amount_cents" in shown and '"1.2x"; first line 3' in shown
    assert sorted(path.name for path in shop.rglob("*")) == before


def test_a_word_is_stated(shop: Path) -> None:
    answers = answers_of([], ["charge_kind:qqq=credit"])
    proposed = propose_for(shop / "invoice-1.csv", None, answers=answers)
    assert proposed.questions == ()
    assert {each.column: dict(each.values) for each in proposed.proposal.pairings}["charge_kind"] == {"qqq": "credit"}
    with pytest.raises(ColumnMapError, match="is no word of charge_kind"):
        propose_for(shop / "invoice-1.csv", None, answers=answers_of([], ["charge_kind:qqq=bonus"]))
    with pytest.raises(ColumnMapError, match="COLUMN:TEXT=WORD"):
        answers_of([], ["charge_kind=qqq"])


def test_a_header_that_names_another_currency_is_asked_about(shop: Path) -> None:
    (question, *_) = propose_for(shop / "invoice-1.csv", None, currency="USD").questions[::-1]
    assert "names EUR, but the shop keeps USD" in question.words
    assert not any("EUR" in each.words for each in propose_for(shop / "invoice-1.csv", None, currency="EUR").questions)


def test_a_file_that_fits_nothing_is_reported_so(shop: Path) -> None:
    (shop / "staff.csv").write_text("Name,Department,Extension\nA,B,12\n")
    with pytest.raises(ColumnMapError, match="fits no kind of record"):
        propose_for(shop / "staff.csv", None)


def test_a_file_with_remarks_and_buyers_is_tried_too(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Remarks are cleared of what a row's personal columns say, by words of tables that a dry run has not."""
    (shop / "claims.csv").write_text(
        "Claim,Parcel,Reported on,Cause,State,Photos show,Buyer name\n"
        "C1,P1,2026-01-31,damage,filed,Ada Fenwick says it broke,Ada Fenwick\n"
    )
    assert _run(shop, str(shop / "claims.csv"), "--as", "claims", "--yes") == 0
    assert "1 of 1 rows would be accepted" in capsys.readouterr().out


def test_a_carrier_that_no_column_names_is_stated_once(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "invoice-2.csv").write_text(INVOICE.replace("Carrier,", "Mark,").replace("Northline,", "x7,"))
    assert _run(shop, str(shop / "invoice-2.csv"), "--as", "charges", "--yes") == command.OPEN
    shown = " ".join(capsys.readouterr().out.split())
    assert "or --constant carrier=... where it is the same in every row" in shown
    stated = ("--as", "charges", "--constant", "carrier=Northline", "--yes")
    assert _run(shop, str(shop / "invoice-2.csv"), *stated) == 0


@pytest.mark.parametrize(("units", "first"), [("metric", "scale_weight_kg=kg"), ("inch", "scale_weight_lb=lb")])
def test_the_units_of_the_shop_are_offered_first(
    shop: Path, units: str, first: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / settings.FILE_NAME).write_text(f'[shop]\ncurrency = "EUR"\nunits = "{units}"\n')
    assert _run(shop, str(shop / "bench-1.csv")) == command.OPEN
    assert f"--unit {first}" in capsys.readouterr().out
