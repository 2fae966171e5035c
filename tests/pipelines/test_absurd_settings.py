"""What no dunnage.toml should say: each is refused with its file, its line and the reason, by a command of any kind."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from models.errors import SettingsError
from pipelines.cli import main
from pipelines.settings import load

SOURCE = """\
[[source]]
name = "bench"
kind = "weights"
files = "bench-*.csv"
[source.columns]
parcel_id = "Label"
"""

# Section, line, what is said of it.
VALUES = [
    ("shop", "wage_cents_per_hour = -2400", "is too small"),
    ("shop", "wage_cents_per_hour = 99999999999999999999999999", "is too large"),
    ("shop", "wage_cents_per_hour = 24.00", "is not a whole number"),
    ("shop", "wage_cents_per_hour = true", "wage_cents_per_hour = true is not a whole number"),
    ("shop", 'wage_cents_per_hour = "2400"', "is not a whole number"),
    ("shop", "wage_cents_per_hour = [2400]", "is not a whole number"),
    ("shop", f"wage_cents_per_hour = 0x{'f' * 9000}", "thousands of digits is too large"),
    ("shop", f"wage_cents_per_hour = {'9' * 5000}", "thousands of digits"),
    ("shop", "wage_cents_per_hour = 2026-03-01", "2026-03-01 is not a whole number"),
    ("shop", "sharing_divisor_in3_per_lb = 0", "is too small"),
    ("shop", "sharing_divisor_in3_per_lb = nan", "is not a finite number"),
    ("shop", "sharing_divisor_in3_per_lb = inf", "is not a finite number"),
    ("shop", "sharing_divisor_in3_per_lb = 1e999", "is not a finite number"),
    ("shop", "sharing_divisor_in3_per_lb = 1e-300", "is too small"),
    ("shop", "sharing_divisor_in3_per_lb = true", "is not a number"),
    ("shop", 'currency = "<script>"', "no currency in use"),
    ("shop", 'currency = "usd"', "did you mean USD"),
    ("shop", 'currency = "DEM"', "no currency in use"),
    ("shop", 'currency = "XXX"', "no currency in use"),
    ("shop", 'currency = ""', "no currency in use"),
    ("shop", "currency = 840", "is not text"),
    ("shop", 'time_zone = "Mars/Olympus"', "is not known"),
    ("shop", 'time_zone = "America"', "is not known"),
    ("shop", 'time_zone = "America/New York"', "did you mean America/New_York"),
    ("shop", 'time_zone = "../../etc/passwd"', "is not known"),
    ("shop", 'time_zone = "/etc/localtime"', "is not known"),
    ("shop", 'time_zone = ""', "is not known"),
    ("shop", r'time_zone = "UTC\u0000"', "is not known"),
    ("shop", 'name = ""', "is empty"),
    ("shop", f'name = "{"x" * 9000}"', "is too long"),
    ("shop", r'name = "Shop\r\nBcc: all@shop.example"', "line break"),
    ("shop", r'name = "\u001b[31mred"', "control character"),
    ("shop", 'nmae = "Shop"', "did you mean name"),
    ("shop", '"" = 1', "unknown setting ''"),
    ("shop", r'"a\nb" = 1', r"unknown setting 'a\nb'"),
    ("folders", 'archive = "../elsewhere"', "no folder inside"),
    ("folders", 'archive = "kept/../../elsewhere"', "no folder inside"),
    ("folders", 'outbox = "/etc"', "no folder inside"),
    ("folders", r'reviews = "C:\\Windows"', "no folder inside"),
    ("folders", r'tariffs = "\\\\server\\share"', "no folder inside"),
    ("folders", 'rejects = "~/rejects"', "no folder inside"),
    ("folders", 'archive = "."', "no folder inside"),
    ("folders", 'archive = ""', "is empty"),
    ("folders", 'archive = ".spill"', "no folder inside"),
    ("folders", r'archive = "a\u0000b"', "control character"),
    ("folders", 'archive = "reviews"', "archive lies in the folder reviews"),
    ("folders", 'reviews = "archive/reviews"', "reviews lies in the folder archive"),
    ("folders", 'inbox = "."', "no folder for an inbox"),
    ("folders", 'inbox = "archive"', "inbox lies in the folder archive"),
    ("engine", "threads = 999999999", "is too large"),
    ("engine", "threads = -1", "is too small"),
    ("engine", 'memory_limit = "banana"', "no amount of memory"),
    ("engine", 'memory_limit = "1KB"', "no amount of memory"),
    ("engine", 'memory_limit = "-4GB"', "no amount of memory"),
    ("engine", 'memory_limit = "4GB\'; drop table x"', "no amount of memory"),
    ("engine", "memory_limit = 4", "is not text"),
    ("engine", 'kind = "duckbd"', "did you mean duckdb"),
    ("spark", "options = 3", "is not a table"),
    ("spark", 'storage = ""', "is empty"),
    ("spark", "master = 7077", "is not text"),
    ("damage", "causes = []", "is empty"),
    ("damage", 'causes = "damage"', "is not a list"),
    ("damage", 'causes = ["damage", "wether"]', "causes, entry 2 = 'wether' is not known"),
    ("damage", "window_days = 100000000000000", "is too large"),
    ("damage", "chance_needed = 2", "is too large"),
    ("damage", "false_discovery_rate = nan", "is not a finite number"),
    ("cartons", "candidate_step_in = 0.0000001", "is too small"),
    ("cartons", "seconds = inf", "is not a finite number"),
    ("cartons", "sizes = -1", "is too small"),
    ("cartons", "keep = [1]", "keep, entry 1 = 1 is not text"),
    ("cartons", 'keep = ["A"]; drop'.replace("; ", "\n") + ' = ["A"]', "keep and drop both name A"),
    ("near_misses", "reach_in = -1", "is too small"),
    ("near_misses", "reach_lb = 1000000", "is too large"),
    ("mail", 'host = "mail.example/inbox"', "no name or address of a server"),
    ("mail", r'host = "mail.example\r\nQUIT"', "no name or address of a server"),
    ("mail", "port = 70000", "is too large"),
    ("mail", "port = 0", "is too small"),
    ("mail", 'port = "smtp"', "is not a whole number"),
    ("mail", 'security = "ssl"', "is not known"),
    ("mail", 'sender = "nobody"', "no mail address"),
    ("mail", r'recipients = ["a@b.example\r\nBcc: c@d.example"]', "no mail address"),
    ("mail", 'recipients = ["a@b.example, c@d.example"]', "no mail address"),
    ("mail", 'recipients = "a@b.example"', "is not a list"),
    ("mail", "attach_limit_mb = -5", "is too small"),
    ("mail", "timeout_seconds = nan", "is not a finite number"),
    ("mail", "timeout_seconds = 0", "is too small"),
    ("mail", 'password = "secret"', "unknown setting password"),
    ("mail", 'host = "mail.example"', "names no recipients"),
    ("mail", 'recipients = ["a@b.example"]\nhost = "mail.example"', "names no sender"),
    ("mail", 'host = "mail.example"\nsecurity = "none"', "readable through the network"),
    ("schedule", 'intake_at = "25:00"', "no time of day"),
    ("schedule", 'intake_at = "6 am"', "no time of day"),
    ("schedule", "review_at = 07:00:00", "07:00:00 is not text"),
    ("schedule", 'watch_day = "moonday"', "did you mean monday"),
    ("schedule", "review_day = 31", "is too large"),
    ("schedule", "review_day = 0", "is too small"),
    ("schedule", 'review_day = "5"', "is not a whole number"),
]
# A line of [[source]] put in, or in place of the one with the same name.
SOURCE_LINES = [
    ("delimiter = 5", "is not text"),
    ('delimiter = ""', "cannot separate columns"),
    (r'delimiter = "\n"', "cannot separate columns"),
    ('delimiter = "a"', "cannot separate columns"),
    ("delimiter = '\"'", "cannot separate columns"),
    ('delimiter = "::"', "cannot separate columns"),
    ('encoding = "hex"', "no encoding of text"),
    ('encoding = "rot13"', "no encoding of text"),
    ('encoding = "base64"', "no encoding of text"),
    ('encoding = "undefined"', "no encoding of text"),
    ('encoding = "utf-9"', "no encoding of text"),
    ('encoding = "../../x"', "no encoding of text"),
    (r'encoding = "utf\u00008"', "no encoding of text"),
    ('encoding = ""', "no encoding of text"),
    ('format = "xls"', "did you mean xlsx"),
    ('format = "exe"', "is not known"),
    ('decimal = ";"', "is not known"),
    ('date_order = "myd"', "is not known"),
    ('sheet = ""', "is empty"),
    ('header = "no"', "is neither true nor false"),
    ("header = 0", "is neither true nor false"),
    ('files = ""', "is empty"),
    ('files = "../*.csv"', "names a folder"),
    ('files = ["a.csv"]', "files is not text"),
    ('name = "../../evil"', "part of a file's name"),
    ('name = ""', "is empty"),
    ('kind = "wheights"', "did you mean weights"),
    ("kind = 7", "is not text"),
    ('mode = "fast"', "unknown setting mode"),
]
MAPS = [
    ('parcel = "Label"', "did you mean parcel_id"),
    ("parcel_id = 7", "neither a header nor a table"),
    ('parcel_id = ["Label"]', "neither a header nor a table"),
    ("parcel_id = {}", "one of column, value, row"),
    ('parcel_id = { column = "A", value = "b" }', "one of column, value, row"),
    ("parcel_id = { row = false }", "one of column, value, row"),
    ("parcel_id = { row = 1 }", "is neither true nor false"),
    ('parcel_id = { colum = "Label" }', "did you mean column"),
    ('parcel_id = { column = "Label", values = ["J"] }', "is not a table"),
    ('parcel_id = { column = "Label", values = { J = 1 } }', "is not text"),
    ('parcel_id = { column = "Label", date_order = "DMY" }', "is not known"),
    ('parcel_id = { column = "Label", unit = 3 }', "is not text"),
]
DOCUMENTS = [
    ("a = " + "[" * 9000, 1, "too many brackets"),
    ("a = " + "{ a = " * 2000, 1, "too many brackets"),
    ("[shop]\nname = 'x'\n" + "a = [\n" + "[\n" * 9000, 53, "too many brackets"),
    (".".join("a" * 15_000) + " = 1", 1, "characters"),
    ("[shop]\nname = 'x'\nname = 'y'\n", 3, "not valid TOML"),
    ("[shop]\nname = 'x\n", 2, "not valid TOML"),
    ("[shop]\n[shop]\n", 2, "not valid TOML"),
    ("\n\n[shoop]\n", 3, "did you mean shop"),
    ("shop = 3\n", 1, "is not a table"),
    ("\nshop = [1]\n", 2, "is not a table"),
    ('folder = "/tmp"\n', 1, "unknown setting folder"),
    ('sources = "x"\n', 1, "did you mean source"),
    ('[source]\nname = "x"\n', 1, "source is not a list of tables"),
    ("source = [3]\n", 1, "source, entry 1 = 3 is not a table"),
    (SOURCE + SOURCE, 8, "two sources are named 'bench'"),
    ('[[source]]\nname = "bench"\n', 1, "lacks kind; lacks files; lacks columns"),
    ('[[source]]\nname = "b"\nkind = "weights"\nfiles = "*"\ncolumns = "all"\n', 5, "is not a table"),
    ("[shop]\nwage_cents_per_hour = -1\n\n[engine]\nthreads = -1\n", 2, "Also wrong: line 5"),
]


def refused(folder: Path, capsys: pytest.CaptureFixture[str], line: int, said: str) -> None:
    """The file is refused on that line for that reason, and a command says so without a traceback."""
    path = folder / "dunnage.toml"
    with pytest.raises(SettingsError) as told:
        load(folder)
    assert said in f"{told.value.what} {told.value.next_step}"
    assert re.match(rf"{re.escape(str(path))}, line {line}( |$)", told.value.where)
    assert told.value.affected
    assert told.value.next_step
    assert len(str(told.value)) < 1500
    assert str(told.value).isprintable()
    assert main(["--shop", str(folder), "status"]) == 1
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
