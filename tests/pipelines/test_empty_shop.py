"""Every command on a shop without a record: an answer in whole words, within the terminal, never a traceback."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from rich.cells import cell_len

from pipelines import cli
from pipelines.commands import completion
from tests.sampling import tries

# What a person types first, for each command or action that the parser knows; `{}` is a folder to write into.
TYPED = {
    "records": "records marts.coverage",
    "map": "map {}/none.csv",
    "intake": "intake",
    "rejects": "rejects",
    "titles": "titles",
    "charges": "charges",
    "review": "review",
    "send": "send 2026-10 --dry-run",
    "watch": "watch",
    "status": "status",
    "trace": "trace marts.coverage",
    "explain": "explain TL1",
    "export": "export marts.parcel_costs {}/costs.csv",
    "bridge": "bridge 2026-09 2026-10",
    "disputes list": "disputes",
    "disputes export": "disputes export {}/disputes.csv",
    "disputes mark": "disputes mark TL1 sent",
    "claim": "claim TL1",
    "claims list": "claims list --all",
    "claims mark": "claims mark TL1 filed",
    "claims texts": "claims texts",
    "claims insure": "claims insure",
    "tariff check": "tariff check {}/none.toml",
    "tariff show": "tariff show none",
    "tariff compare": "tariff compare --what-if divisor=166",
    "tariff learn": "tariff learn Anvil {}/learned.csv --from 2026-01-01 --to 2026-10-31",
    "tariff import": "tariff import {}/none.csv {}/prices.csv --service ground",
    "tariff zones": "tariff zones",
    "bench-list": "bench-list",
    "bench-sheets": "bench-sheets",
    "cartons": "cartons",
    "damage": "damage",
    "decide": "decide --judge",
    "trial list": "trial list",
    "trial start": "trial start tripod paper --from 2026-12-01",
    "trial end": "trial end none",
    "schedule": "schedule --once",
    "restore": "restore {}/none.zip",
    "replay": "replay",
}
# They set up a shop, print a file's text as it stands, or name a file by the clock.
OTHERS = {"demo", "init", "tariff format", "completion", "backup"}


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of which only the settings exist."""
    folder = tmp_path_factory.mktemp("empty") / "s"
    answers = '--name "My shop" --currency EUR --time-zone UTC --units metric --wage 18.00'
    assert cli.main(shlex.split(f"init {folder} {answers}")) == 0
    return folder


def written(
    empty: Path, line: str, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> list[str]:
    """The lines that a command writes on a terminal of so many columns. Files are named from the shop's folder."""
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.chdir(empty)
    monkeypatch.setattr(cli, "_is_read_by_a_person", lambda: True)
    assert cli.main(["--shop", str(empty), *line.replace("{}", "inbox").split()]) in (0, 1)
    captured = capsys.readouterr()
    return [each.rstrip() for each in (captured.out + captured.err).splitlines()]


def spoken(lines: list[str]) -> set[str]:
    """The words, whether a table stands with heads above its cells or before them."""
    return {word.rstrip(":").casefold() for word in " ".join(lines).split() if set(word) - set("─")}


def test_no_command_is_left_out() -> None:
    known = {
        " ".join(names)
        for names, parser in completion._named(cli.parser_of_all(), ())
        if names and not completion._actions(parser)
    }
    assert known == set(TYPED) | OTHERS


@pytest.mark.parametrize("command", TYPED)
def test_each_answers_within_the_terminal_and_breaks_no_word(
    command: str, empty: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A word on a narrow terminal is a word on a wide one; only what is one word, such as a path, may be wider."""
    written(empty, TYPED[command], 1_000, capsys, monkeypatch)  # what it writes is there from here on
    wide = written(empty, TYPED[command], 1_000, capsys, monkeypatch)
    words = spoken(wide)
    assert words or command == "schedule", "nothing is said"
    for columns in (60, 80, 120)[: tries(3, fewest=2)]:
        lines = written(empty, TYPED[command], columns, capsys, monkeypatch)
        assert [line for line in lines if cell_len(line) > columns and len(line.split()) > 1] == []
        assert spoken(lines) <= words


@pytest.mark.parametrize("command", ["disputes list", "disputes mark", "explain", "tariff zones"])
def test_before_the_first_review_it_is_said_that_one_is_needed(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = '--name "My shop" --currency EUR --time-zone UTC --units metric --wage 18.00'
    assert cli.main(shlex.split(f"init {tmp_path / 's'} {answers}")) == 0
    assert cli.main(["--shop", str(tmp_path / "s"), "intake"]) == 0
    assert cli.main(["--shop", str(tmp_path / "s"), *TYPED[command].split()]) == 1
    assert "next: run `dunnage review` once" in capsys.readouterr().err


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_help_keeps_within_the_terminal(
    columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for command in cli.COMMANDS:
        with pytest.raises(SystemExit):
            cli.main([command.replace("_", "-"), "--help"])
        assert [line for line in capsys.readouterr().out.splitlines() if cell_len(line) > columns] == []
