"""What no dunnage.toml should say: each is refused with its file, its line and the reason, by a command of any kind."""

from __future__ import annotations

import re
from argparse import Namespace
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.cli import _guarded
from pipelines.commands import status
from pipelines.shop.settings import load
from tests.pipelines.shop.absurd_settings import DOCUMENTS, MAPS, SOURCE, SOURCE_LINES, VALUES


def refused(folder: Path, capsys: pytest.CaptureFixture[str], line: int, said: str) -> None:
    """The file is refused on that line for that reason, and a command says so without a traceback."""
    path = folder / "dunnage.toml"
    with pytest.raises(SettingsError) as reported:
        load(folder)
    assert said in f"{reported.value.what} {reported.value.next_step}"
    assert re.match(rf"{re.escape(str(path))}, line {line}( |$)", reported.value.where)
    assert reported.value.affected
    assert reported.value.next_step
    assert len(str(reported.value)) < 1500
    assert str(reported.value).isprintable()
    assert _guarded(Namespace(run=status.run, shop=folder)) == 1
    assert capsys.readouterr().err.startswith(f"{path}, line {line}")


@pytest.mark.parametrize(("section", "line", "said"), VALUES)
def test_an_absurd_value(
    section: str, line: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f'# settings\n[{section}]   # "[" of a comment\n\n{line}\n'
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8", newline="")
    refused(tmp_path, capsys, text.count("\n"), said)


@pytest.mark.parametrize(("line", "said"), SOURCE_LINES)
def test_an_absurd_source(line: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = line.split(" = ")[0]
    kept = [each for each in SOURCE.splitlines() if not each.startswith(f"{name} = ")]
    text = "\n".join(["# the bench", kept[0], "", line, *kept[1:], ""])
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8", newline="")
    refused(tmp_path, capsys, 4, said)


@pytest.mark.parametrize(("line", "said"), MAPS)
def test_an_absurd_column_map(line: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = SOURCE.replace('parcel_id = "Label"', line)
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8", newline="")
    refused(tmp_path, capsys, 6, said)


@pytest.mark.parametrize(("text", "line", "said"), DOCUMENTS)
def test_an_absurd_document(
    text: str, line: int, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8", newline="")
    refused(tmp_path, capsys, line, said)


@pytest.mark.parametrize(
    ("written", "line", "said"),
    [
        (b"[shop]\nname = '\xff'\n", 2, "is not UTF-8"),
        ("[shop]\n".encode("utf-16"), 1, "is not UTF-8"),
        (b"\xef\xbb\xbf[shop]\n", 1, "byte order mark"),
        (b"PK\x03\x04" + bytes(range(256)), 2, "is not UTF-8"),
        (b"[shop]\nname = 'a\x00b'\n", 2, "not valid TOML"),
        (b"\x7fELF\x01\n" * 9, 1, "not valid TOML"),
    ],
)
def test_bytes_that_are_no_settings(
    written: bytes, line: int, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "dunnage.toml").write_bytes(written)
    refused(tmp_path, capsys, line, said)


def test_a_hundred_megabytes_are_not_even_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with (tmp_path / "dunnage.toml").open("wb") as opened:
        opened.truncate(100_000_000)  # a sparse file: no room is taken
    refused(tmp_path, capsys, 1, "100,000,000 bytes, too many for settings")


def test_a_folder_of_that_name(tmp_path: Path) -> None:
    (tmp_path / "dunnage.toml").mkdir()
    with pytest.raises(SettingsError, match="is not a file"):
        load(tmp_path)


@pytest.mark.parametrize(
    "text",
    [
        '[folders]\ninbox = "/home/me/Downloads"\n',
        '[folders]\ninbox = "../exports"\narchive = "kept/archive"\noutbox = "inbox/out"\n',
        '[engine]\nmemory_limit = "80%"\nthreads = 1024\n',
        '[shop]\nname = "Straße & Söhne – „Optik“ 🔭"\ncurrency = "JPY"\nsharing_divisor_in3_per_lb = 139\n',
        '[schedule]\nintake_at = "6:05"\nwatch_day = "Monday"\nreview_day = 28\n',
        SOURCE.replace("[source.columns]", 'delimiter = "\\t"\nencoding = "cp1252"\ndecimal = ","\n[source.columns]'),
    ],
)
def test_what_is_odd_and_still_meant(text: str, tmp_path: Path) -> None:
    (tmp_path / "dunnage.toml").write_text(text, encoding="utf-8")
    assert load(tmp_path).folder == tmp_path.resolve()
