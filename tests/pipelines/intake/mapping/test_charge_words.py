"""`dunnage map` asks what words of an invoice are, as intake does: the most money first, an option for each."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from models.errors import ColumnMapError, NotFoundError
from pipelines.build import shop_words
from pipelines.commands import map as command
from pipelines.shop import settings

INVOICE = """\
Carrier,Invoice no,Invoice line,Invoice date,Tracking number,Charge description,Net amount USD
Northline,N1,1,2026-01-31,P1,Carriage,18.50
Northline,N1,2,2026-01-31,P1,Energy adj.,1.25
Northline,N1,3,2026-01-31,P1,Zone 9: far,30.00
Northline,N1,4,2026-01-31,P2,Energy adj.,40.25
Northline,N1,5,2026-01-31,P2,Late credit,-90.00
"""
SALES = "Order number,Line,Order date,Title,Quantity,Item price,Shipping charged\nS1,1,2026-01-02,Lens,1,9.50,2.00\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / settings.FILE_NAME).write_text('[shop]\ncurrency = "USD"\n')
    (tmp_path / "invoice-1.csv").write_text(INVOICE)
    (tmp_path / "sales-1.csv").write_text(SALES)
    return tmp_path


def ran(folder: Path, file: str, *more: str) -> int:
    parser = argparse.ArgumentParser()
    command.arguments(parser)
    args = parser.parse_args([str(folder / file), *more])
    args.shop = folder
    return command.run(args)


def said(folder: Path) -> set[tuple[str, str, str]]:
    return {(each.word, each.kind, each.surcharge) for each in shop_words.said(settings.load(folder)).charges}


def test_a_script_gets_the_words_with_an_option_for_each(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(shop, "invoice-1.csv") == 0
    shown = capsys.readouterr().out
    places = [shown.index(f'What is "{word}"') for word in ("Late credit", "Energy adj.", "Zone 9: far", "Carriage")]
    assert places == sorted(places)
    assert "$41.50 on 2 lines" in shown
    assert "--word 'Late credit=credit'" in shown and "--word Carriage=base" in shown
    assert "--word 'Energy adj.=fuel'" in shown and "--word 'Zone 9: far=...'" in shown
    answers = ("--word", "Energy adj.=fuel", "--word", "Zone 9: far=surcharge: far zone")
    assert ran(shop, "invoice-1.csv", *answers) == 0
    assert said(shop) == set()
    assert ran(shop, "invoice-1.csv", *answers, "--write") == 0
    assert said(shop) == {("Energy adj.", "fuel", ""), ("Zone 9: far", "surcharge", "far zone")}
    capsys.readouterr()
    assert ran(shop, "invoice-1.csv", "--name", "invoice", "--replace") == 0
    shown = capsys.readouterr().out
    assert "Energy adj." not in shown and 'What is "Carriage"' in shown


def test_a_map_that_is_written_leaves_its_words_to_the_command_for_them(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ran(shop, "invoice-1.csv", "--write") == 0
    assert "until you say by `dunnage charges` what each is" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("is_reclaimed", [False, True])
def test_tax_is_said_to_be_a_cost_unless_the_shop_gets_it_back(
    shop: Path, is_reclaimed: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    if is_reclaimed:
        (shop / settings.FILE_NAME).write_text('[shop]\ncurrency = "USD"\ntax_reclaimed = true\n')
    assert ran(shop, "invoice-1.csv", "--word", "Energy adj.=fuel", "--write") == 0
    assert "tax counts as a cost" not in capsys.readouterr().out
    assert ran(shop, "invoice-1.csv", "--word", "Late credit=tax", "--write", "--replace") == 0
    assert ("tax counts as a cost" in capsys.readouterr().out) is not is_reclaimed


def test_a_dialogue_asks_each_word(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def reply(prompt: str) -> str:
        asked.append(prompt.splitlines()[0])
        return {"Late": "credit", "Ener": "1", "Zone": "", "Carr": "base"}[prompt.partition('"')[2][:4]]

    monkeypatch.setattr(command, "_is_dialogue", lambda: True)
    monkeypatch.setattr("builtins.input", reply)
    assert ran(shop, "invoice-1.csv", "--write") == 0
    assert [line.partition('"')[2].partition('"')[0] for line in asked] == [
        "Late credit",
        "Energy adj.",
        "Zone 9: far",
        "Carriage",
    ]
    assert said(shop) == {("Late credit", "credit", ""), ("Energy adj.", "fuel", ""), ("Carriage", "base", "")}


def test_words_that_cannot_be_meant_are_named(shop: Path) -> None:
    words = ("--word", "Diesel=fuel", "--word", "Energy adj.=fuel", "--word", "Petrol=fuel")
    with pytest.raises(NotFoundError, match="words 'Diesel', 'Petrol': are on no invoice"):
        ran(shop, "invoice-1.csv", *words, "--write")
    assert said(shop) == {("Energy adj.", "fuel", "")}, "what was said of words that are there is kept"
    with pytest.raises(ColumnMapError, match="is not COLUMN:TEXT=WORD"):
        ran(shop, "sales-1.csv", "--word", "Diesel=fuel")


def test_words_left_open_at_a_terminal_are_named_with_the_option_for_each(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("builtins.input", lambda question: "fuel" if "Energy adj." in question else "")
    monkeypatch.setattr(command, "_is_dialogue", lambda: True)
    assert ran(shop, "invoice-1.csv", "--write") == 0
    left = capsys.readouterr().out.partition("left open: ")[2]
    assert left.startswith("3 words;")
    assert "--word 'Late credit=credit'" in left and "--word 'Zone 9: far=...'" in left
    assert "Energy adj." not in left.replace("Carriage", "").partition("Northline:")[0]
    assert said(shop) == {("Energy adj.", "fuel", "")}
