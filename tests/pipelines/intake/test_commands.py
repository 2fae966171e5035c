"""`dunnage intake` and `dunnage rejects`, as typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipelines.cli import main

SETTINGS = """
[shop]
name = "Small shop"
[[source]]
name = "stock"
kind = "skus"
files = "skus*.csv"
[source.columns]
sku = "Stock no"
item_type = "Kind"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "dunnage.toml").write_text(SETTINGS, encoding="utf-8")
    (tmp_path / "inbox").mkdir()
    return tmp_path


def put(folder: Path, name: str, text: str) -> Path:
    path = folder / "inbox" / name
    path.write_text(text, encoding="utf-8")
    return path


def dunnage(folder: Path, *words: str) -> int:
    return main(["--shop", str(folder), *words])


def test_what_became_of_each_file_is_reported(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(folder, "skus-1.csv", "Stock no,Kind,Buyer,Shelf\nA,tripod,x,1\nB,,y,2\n")
    put(folder, "skus-1-copy.csv", "Stock no,Kind,Buyer,Shelf\nA,tripod,x,1\nB,,y,2\n")
    put(folder, "notes.txt", "buy tape")
    assert dunnage(folder, "intake") == 0
    reported = " ".join(capsys.readouterr().out.split())
    assert "skus-1.csv 2 1 1" in reported
    assert "the same content was imported as skus-1.csv, delivery 1" in reported
    assert "never stored, because they look personal: Buyer (names)" in reported
    assert 'not mapped, so not read: "Shelf" of stock' in reported
    assert "notes.txt: left alone, since it matches the `files` of no source" in reported
    assert "1 row was rejected; see `dunnage rejects`" in reported


def test_files_that_are_already_imported_take_one_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(folder, "skus-1.csv", "Stock no,Kind\nA,tripod\n")
    put(folder, "skus-2.csv", "Stock no,Kind\nB,mount\n")
    dunnage(folder, "intake")
    put(folder, "skus-3.csv", "Stock no,Kind\nC,tube\n")
    capsys.readouterr()
    assert dunnage(folder, "intake") == 0
    reported = capsys.readouterr().out
    assert "2 files are already imported; nothing was done with them" in reported.splitlines()
    assert "skus-3.csv" in reported and "skus-1.csv" not in reported


def test_an_empty_inbox_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert dunnage(folder, "intake") == 0
    assert "No file is in the inbox." in capsys.readouterr().out


def test_a_file_that_is_refused_is_reported_in_three_lines_and_the_others_land(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(folder, "skus-1.csv", "a,b\n1,2\n")
    put(folder, "skus-2.csv", "Stock no,Kind\n[red]A[/red],tripod\n")
    assert dunnage(folder, "intake") == 1
    reported = capsys.readouterr()
    assert "skus-2.csv" in reported.out and "Traceback" not in reported.err
    refused = " ".join(reported.err.split())
    assert "skus-1.csv (source 'stock'): has no column 'Stock no', 'Kind'" in refused
    assert "affected: this file; nothing of it was imported" in refused and "next: correct the column map" in refused


def test_a_source_may_be_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = put(folder, "other.csv", "Stock no,Kind\nA,tripod\n")
    assert dunnage(folder, "intake", str(path)) == 1
    assert dunnage(folder, "intake", str(path), "--source", "stock") == 0
    assert dunnage(folder, "intake", str(path), "--source", "shop") == 1
    assert "use one of: stock" in " ".join(capsys.readouterr().err.split())


def test_rejects_are_listed_exported_and_answered(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(folder, "skus-1.csv", "Stock no,Kind\nA,\n")
    dunnage(folder, "intake")
    assert dunnage(folder, "rejects") == 0
    assert "is missing" in capsys.readouterr().out
    assert dunnage(folder, "rejects", "--export") == 0
    (path,) = (folder / "rejects").iterdir()
    assert path.stat().st_mode & 0o077 == 0
    path.write_text(path.read_text(encoding="utf-8").replace("A,,", "A,tripod,"), encoding="utf-8")
    assert dunnage(folder, "intake", str(path)) == 0
    assert dunnage(folder, "rejects") == 0
    assert "No row is rejected." in capsys.readouterr().out


def test_a_shop_that_never_landed_anything_is_told_what_to_do(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert dunnage(folder, "rejects") == 1
    assert "put exports into the inbox" in capsys.readouterr().err


def test_nothing_in_a_file_steers_a_terminal(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    steering = "\x1b]0;owned\x07\x1b[31m\u202e"
    name = f"skus-{steering}.csv"
    put(folder, name, f"Stock no,Kind,{steering},{'h' * 4_000}\nA,x,1,2\nB,{steering},1,2\n")
    put(folder, "skus-2.csv", f"{steering}\n1\n")
    assert dunnage(folder, "intake") == 1
    for command in (["rejects"], ["map", str(folder / "inbox" / name), "--as", "skus"]):
        assert dunnage(folder, *command) == 0
    said = capsys.readouterr()
    for text in (said.out, said.err):
        assert not {"\x1b", "\x07", "\u202e"} & set(text)
        assert "\\x1b" in text
    joined = "".join(said.out.split())
    assert "h" * 50 in joined and "h" * 100 not in joined


def test_one_line_tells_of_many_files_that_nothing_takes(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for number in range(5):
        put(folder, f"notes-{number}.csv", "a,b\n1,2\n")
    assert dunnage(folder, "intake") == 0
    reported = " ".join(capsys.readouterr().out.split())
    assert (
        "notes-0.csv to notes-4.csv, 5 files, each: left alone, since it matches the `files` of no source" in reported
    )
    assert reported.count("no source") == 1
