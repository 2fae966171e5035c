"""What a shell offers while a command is typed, asked of bash itself."""

from __future__ import annotations

import subprocess
from shutil import which

import pytest

from pipelines import cli
from pipelines.commands import completion


def offered(*words: str) -> list[str]:
    """What bash offers for the last of the words."""
    script = completion.script(cli.parser_of_all(), "bash")
    typed = " ".join(f"'{word}'" for word in ("dunnage", *words))
    asked = f'COMP_WORDS=({typed}); COMP_CWORD={len(words)}; _dunnage; printf "%s\\n" "${{COMPREPLY[@]}}"'
    done = subprocess.run(["bash", "-c", f"{script}\n{asked}"], capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.skipif(which("bash") is None, reason="there is no bash")
@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("st",), ["status"]),
        (("bench-",), ["bench-list", "bench-sheets"]),
        (("--shop", "claims", "wat"), ["watch"]),
        (("disputes", "ma"), ["mark"]),
        (("disputes", "mark", "P-1/wrong-zone", "wo"), ["won"]),
        (("decide", "--because", "w"), ["worst"]),
        (("claims", "list", "--a"), ["--all"]),
        (("status", "--j"), ["--json"]),
        (("explain", "NL"), []),
    ],
)
def test_bash_offers_what_may_follow(words: tuple[str, ...], expected: list[str]) -> None:
    assert offered(*words) == expected


def test_every_command_and_action_is_offered() -> None:
    made = completion.script(cli.parser_of_all(), "bash")
    for name in cli.COMMANDS:
        assert f" {name.replace('_', '-')}'" in made or f" {name.replace('_', '-')})" in made
    assert "--most" not in made, "an old name is still read, and not offered"


@pytest.mark.skipif(which("zsh") is None, reason="there is no zsh")
def test_zsh_reads_its_script() -> None:
    script = completion.script(cli.parser_of_all(), "zsh")
    done = subprocess.run(
        ["zsh", "-f", "-c", f"autoload -U compinit; compinit -u; {script}\nwhence _dunnage"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "_dunnage" and done.stderr == ""
