"""README's commands: each one is understood as it stands, and those that no other test types in its order are run."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from pipelines import cli
from tests.without_analyses import without_analyses

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
BLOCKS = ("\n" + README).split("\n```")[1::2]
INDENTED = re.findall(r"^    (dunnage .*)$", README, re.MULTILINE)
INLINE = [" ".join(each.split()) for each in re.findall(r"`(dunnage [^`]*)`", README)]
# What README leaves to the reader, and what one would type.
MEANT = {"DELIVERY": "3", "MONTH": "2026-10", "[MONTH]": "2026-10", "[KIND]": "sales", "A..B": "2026-01..2026-02"}
MEANT |= {"C..D": "2026-03..2026-04"}
# Typed in their order by test_first_hour.py and review/claims/test_commands.py; mail by the tests of delivery; trials
# by review/test_planning_trials.py, for the demo shop sends too few parcels of any goods for one within a year.
RUN_ELSEWHERE = ("init", "map", "intake", "rejects", "review", "claim", "claims", "send 2026-10")
# Commands within sentences that are run here, with what one would type for what they leave out. The others ask for a
# folder, a file or a mail server of their own, or take long: their own tests run them.
NAMED = {"PARCEL": "NL40051174", "TABLE": "marts.item_type_costs", "DELIVERY": "3"}
FILES = {"export": "costs.csv", "tariff": "tariffs/northline-2026.toml"}
RUN_WITHIN: tuple[str, ...] = (
    *("bridge", "charges", "claim", "claims", "completion", "decide", "explain", "export", "records", "rejects"),
    *("tariff", "titles", "trace", "intake --list", "intake --withdraw", "trial list", "send MONTH"),
)
NEEDS_MORE = ("the following arguments are required", "has no mail server", "names neither a file nor a term")
TOO_FEW_PARCELS, ENDS_NOTHING = "trial start", "trial end"


def in_blocks() -> list[str]:
    """The commands that stand on lines of their own."""
    lines = [line for block in BLOCKS for line in block.splitlines() if line.startswith("dunnage ")]
    return [shlex.join(shlex.split(line, comments=True)) for line in [*lines, *INDENTED]]


def spelled(line: str) -> list[str]:
    """A command as it is typed, of several choices each."""
    words = [MEANT.get(word, word) for word in shlex.split(line, comments=True)[1:]]
    choices = next((word.split("|") for word in (each.replace("\\|", "|") for each in words) if "|" in word), [""])
    return [shlex.join(choice if "|" in word else word for word in words) for choice in choices]


def test_each_command_is_understood(capsys: pytest.CaptureFixture[str]) -> None:
    lines = dict.fromkeys([*in_blocks(), *INLINE])
    assert len(lines) > 60
    for line in lines:
        for typed in spelled(line):
            command, *rest = shlex.split(typed)
            if command == "COMMAND":
                continue
            assert command.replace("-", "_") in cli.COMMANDS, typed
            if rest:  # a bare name stands for the command as such
                assert refusal(typed, capsys) is None


def refusal(typed: str, capsys: pytest.CaptureFixture[str]) -> str | None:
    """What the parser has against an option or a value; that an argument lacks only shortens what is meant."""
    try:
        cli._parser(shlex.split(typed)).parse_args(shlex.split(typed))
    except SystemExit:
        said = capsys.readouterr().err.strip().splitlines()[-1]
        return None if "the following arguments are required" in said else f"{typed}: {said}"
    return None


def test_an_option_that_there_is_not_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert refusal("review --moon", capsys) == "review --moon: dunnage: error: unrecognized arguments: --moon"
    assert "invalid" in str(refusal("tariff shine", capsys))


def test_the_table_names_every_command() -> None:
    table = README.partition("## Commands\n")[2].partition("\n\nEach has")[0]
    named = {re.split(r"[ `]", each)[0] for each in re.findall(r"`dunnage ([^`]*)`", table)}
    assert named == {name.replace("_", "-") for name in cli.COMMANDS}


@pytest.mark.slow(10)
def test_commands_that_no_other_test_types_are_run_in_their_order(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shutil.copytree(demo_folder, tmp_path / "shop")
    monkeypatch.chdir(shop)
    lines = [line.removeprefix("dunnage ") for line in in_blocks()]
    lines = [line for line in lines if line.split()[0] not in RUN_ELSEWHERE and line not in RUN_ELSEWHERE]
    lines = [line for line in lines if not line.startswith(ENDS_NOTHING)]
    assert {line.split()[0] for line in lines} >= {
        "decide",
        "trial",
        "send",
        "status",
        "bench-list",
        "bench-sheets",
        "disputes",
        "tariff",
        "watch",
    }
    for line in lines:
        is_refused = line.startswith(TOO_FEW_PARCELS)
        with without_analyses():
            assert cli.main(["--shop", str(shop), *shlex.split(line)]) == is_refused, capsys.readouterr().err
        assert not is_refused or "more than 365" in capsys.readouterr().err


@pytest.mark.slow
def test_commands_within_sentences_are_run(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each ends well, or says what more it needs."""
    shop = shutil.copytree(demo_folder, tmp_path / "shop")
    monkeypatch.chdir(shop)
    lines = [each for line in dict.fromkeys(INLINE) if line not in in_blocks() for each in spelled(line)]
    run = [line for line in lines if line.startswith(RUN_WITHIN) and "--word" not in line]
    run.sort(key=lambda line: "--withdraw" in line)  # after it all is built again
    assert len(run) > 30
    for line in run:
        words = [NAMED.get(word, FILES.get(line.split()[0], word) if word == "FILE" else word) for word in line.split()]
        try:
            code = cli.main(["--shop", str(shop), *shlex.split(" ".join(words))])
        except SystemExit as ended:
            code = int(str(ended.code))
        said = capsys.readouterr().err
        assert code == 0 or any(need in said for need in NEEDS_MORE), (line, said)
