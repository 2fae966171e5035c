"""The mail password and buyers' addresses are in no output and no file; what a shop's folder holds is its owner's."""

from __future__ import annotations

import base64
import os
import stat
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines.delivery import PASSWORD_VARIABLE
from tests.pipelines.served import HANGS
from tests.pipelines.small_shop import built_shop

SECRET = "one-long-secret-9f2c"
BUYER = "jo.buyer@mail.example"
SKUS = """
[[source]]
name = "stock"
kind = "skus"
files = "skus*.csv"
columns = { sku = "Stock no", item_type = "Kind" }
"""
# A table that is not there: the program's own fault, whose traceback is printed.
BROKEN = "import pipelines.intake.rejects_export; pipelines.intake.rejects_export.OPEN = 'nowhere'; "
# Done, refused, failing at the mail server, and crashing.
COMMANDS = (
    ("intake",),
    ("rejects",),
    ("review",),
    ("send",),
    ("send", "--retry-failed"),
    ("status",),
    ("backup",),
    ("replay",),
    ("trace", "marts.nothing"),
)


def texts(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Every file but the inbox, and every member of a zip file or workbook."""
    for path in folder.rglob("*"):
        if path.is_file() and "inbox" not in path.parts:
            yield path.name, path.read_bytes()
            if zipfile.is_zipfile(path):
                with zipfile.ZipFile(path) as packed:
                    yield from ((f"{path.name}/{name}", packed.read(name)) for name in packed.namelist())


def said(folder: Path, head: str, *commands: tuple[str, ...]) -> bytes:
    """All that these commands print, one after the other in one process, its password in the environment."""
    asked = [["--shop", str(folder), *words] for words in commands]
    done = subprocess.run(
        [sys.executable, "-c", f"{head}from pipelines.cli import main; [main(words) for words in {asked}]"],
        capture_output=True,
        env=os.environ | {PASSWORD_VARIABLE: SECRET},
        timeout=HANGS,
    )
    return done.stdout + done.stderr


@pytest.mark.slow(15)
def test_no_secret_in_any_output_or_file(tmp_path: Path) -> None:
    settings = built_shop(tmp_path / "shop")
    toml = settings.folder / "dunnage.toml"
    with_user = toml.read_text(encoding="utf-8").replace("[mail]", '[mail]\nuser = "reports"')
    toml.write_text(with_user + SKUS, encoding="utf-8")
    (settings.path("inbox") / "skus.csv").write_text(
        f"Stock no,Kind,Buyer\n{BUYER},,{BUYER}\nS1,tripod,{BUYER}\nS2,ask {BUYER} first,x\n", encoding="utf-8"
    )
    outputs = [said(settings.folder, "", *COMMANDS), said(settings.folder, BROKEN, ("rejects",))]
    assert b"Traceback" in outputs[1] and b"Traceback" not in outputs[0]
    for words in (b"rejected", b"review of ", b"see `dunnage status`", b"verified", b"marts.nothing"):
        assert words in outputs[0]
    found = [*texts(settings.folder), *((str(number), text) for number, text in enumerate(outputs))]
    assert len(found) > 15
    hidden = (SECRET.encode(), base64.b64encode(SECRET.encode()).rstrip(b"="), BUYER.encode())
    assert [name for name, text in found for word in hidden if word in text] == []


@pytest.mark.slow
def test_whatever_the_umask_only_the_owner_may_read(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    head = "import os; os.umask(0); "
    answers = (
        "--name",
        "Fernmoor Optics",
        "--currency",
        "USD",
        "--time-zone",
        "UTC",
        "--units",
        "inch",
        "--wage",
        "24.00",
    )
    assert b"files written" in said(tmp_path, head, ("init", str(folder), *answers))
    with (folder / "dunnage.toml").open("a", encoding="utf-8") as toml:
        toml.write(SKUS)
    (folder / "inbox" / "skus.csv").write_text("Stock no,Kind\nS1,\nS2,tripod\n", encoding="utf-8")
    given = {folder / "inbox" / "skus.csv"}
    done = said(folder, head, ("intake",), ("rejects", "--export"), ("backup",))
    assert b"affected:" not in done.lower()  # as every error says
    made = [path for path in (folder, *folder.rglob("*")) if path not in given]
    assert {path.suffix for path in made} >= {".duckdb", ".zip", ".parquet", ".json", ".csv", ".toml"}
    assert [path for path in made if stat.S_IMODE(path.stat().st_mode) & 0o077] == []
