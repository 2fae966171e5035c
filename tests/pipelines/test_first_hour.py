"""README's first hour, run as it is written, on exports in another language; and the next step of a thin shop."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from pipelines.cli import main
from tests.pipelines.intake.layouts import LAYOUTS
from tests.pipelines.intake.layouts.rendered import rendered
from tests.sampling import is_whole

HERE = Path(__file__).parents[2]
# Decimal commas and days before months are the harder ones; the campaigns try both.
LANGUAGES = ["en", "it"] if is_whole() else ["it"]
BY_NAME = {layout.name: layout for layout in LAYOUTS}


def first_hour() -> str:
    """The commands of README's section."""
    section = (HERE / "README.md").read_text(encoding="utf-8").partition("## The first hour\n")[2]
    return section.partition("```\n")[2].partition("```")[0]


def last_month() -> date:
    """A day of the last whole month, so that the command needs no month."""
    return date.today().replace(day=1) - timedelta(days=16)


def exported(home: Path, language: str) -> None:
    """Exports of sales and of one invoice, moved into the last whole month."""
    folder = home / "exports"
    folder.mkdir()
    number = {"en": 2, "it": 1}[language]
    for name, layout in (("sales", f"{language}-orders-{number}"), ("invoice", f"{language}-invoice-{number}")):
        (content,) = rendered(BY_NAME[layout], 60).values()
        moved = re.sub(r"(\d\d)/(09|10)/2026", lambda day: f"{day[1]}/{last_month():%m/%Y}", content.decode())
        moved = re.sub(r"2026-(09|10)-(\d\d)", lambda day: f"{last_month():%Y-%m}-{day[2]}", moved)
        (folder / f"{name}-october.csv").write_text(moved, encoding="utf-8")


def ran(home: Path, script: str) -> subprocess.CompletedProcess[str]:
    """The script by bash, with `dunnage` as this tree has it; it stops at the first command that fails."""
    commands = home / ".venv" / "bin"
    commands.mkdir(parents=True, exist_ok=True)
    (commands / "activate").write_text(f'PATH="{commands}:$PATH"\n')
    shim = commands / "dunnage"
    shim.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m pipelines.cli "$@"\n')
    shim.chmod(0o755)
    surroundings = os.environ | {"HOME": str(home), "PYTHONPATH": str(HERE), "COLUMNS": "100"}
    return subprocess.run(
        ["bash", "-e"], input=script, cwd=home, env=surroundings, capture_output=True, text=True, check=False
    )


def test_the_first_hour_has_ten_lines_or_fewer() -> None:
    assert len(first_hour().strip().splitlines()) <= 10


@pytest.mark.slow(10)
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_first_hour_leads_to_a_review(tmp_path: Path, language: str) -> None:
    exported(tmp_path, language)
    done = ran(tmp_path, first_hour())
    assert done.returncode == 0, done.stdout + done.stderr
    assert "60 of 60 rows would be accepted" in done.stdout
    assert f"review of {last_month():%Y-%m}" in done.stdout
    assert list((tmp_path / "my-shop" / "reviews").rglob("*.html"))


def test_thin_shops_are_told_the_next_step(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    exported(tmp_path, "en")
    sales = tmp_path / "exports" / "sales-october.csv"
    answers = '--name "My shop" --currency USD --time-zone UTC --units inch --wage 24.00'

    def said(command: str) -> str:
        assert main(shlex.split(command)) == 0
        return " ".join(capsys.readouterr().out.split())

    for name in ("empty", "second"):
        said(f"init {tmp_path / name} {answers}")
    monkeypatch.chdir(tmp_path / "empty")
    nothing = said("intake")
    assert "No file is in the inbox." in nothing
    assert "next: put exports into" in nothing
    for name in ("empty", "second"):
        monkeypatch.chdir(tmp_path / name)
        shutil.copy(sales, "inbox")
        if name == "empty":
            assert "dunnage map" in said("intake")
        said("map inbox/sales-october.csv --write")
        assert "next: only sales are there so far" in said("intake")
