"""Which command the words name, and the list of commands in groups."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from pipelines import cli


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["status"], "status"),
        (["--shop", "claims", "explain", "--shop"], "explain"),
        (["--shop=claims", "bench-list"], "bench_list"),
        (["--sh", "claims", "trace", "marts.coverage"], "trace"),
        (["--", "watch"], "watch"),
        (["bench_list"], None),
        (["--help", "status"], None),
        (["--shop"], None),
        ([], None),
    ],
)
def test_the_command_that_is_named(words: Sequence[str], named: str | None) -> None:
    assert cli._named(words) == named


@pytest.mark.parametrize("width", [60, 80, 120])
def test_help_lists_each_command_once_within_the_terminal(
    width: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    with pytest.raises(SystemExit) as ended:
        cli.main(["--help"])
    lines = capsys.readouterr().out.splitlines()
    listed = [line.split()[0] for line in lines if line.startswith("  ") and line[2] not in " -"]
    assert ended.value.code == 0
    assert listed == [name.replace("_", "-") for name in cli.COMMANDS]
    assert max(map(len, lines)) <= width
    assert all(f"{group}:" in lines for group in cli.GROUPS)


def test_every_module_of_a_command_is_in_a_group() -> None:
    folder = Path(cli.__file__).parent / "commands"
    assert sorted(cli.COMMANDS) == sorted(file.stem for file in folder.glob("[a-z]*.py"))


def test_an_unknown_command_is_answered_with_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        cli.main(["reviews"])
    assert ended.value.code == 2
    assert "'bench-sheets'" in capsys.readouterr().err
