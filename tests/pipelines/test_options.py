"""Arguments that cannot be meant end a command before it begins: exit code 2, one reason, no traceback."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from pipelines import options
from pipelines.cli import _parser, main

# Nothing that takes a value takes these.
NEVER = ["", "   "]
NUMBERS = ["-5", "x", "1.5.2", "nan", "inf", "1e99", "9" * 50, "0x10", "１２"]
MEANINGLESS: dict[str, list[str]] = {
    "words": [*NEVER, "two\nlines", "\x1b[31m", "x" * 1001, "\udcff", "a\0b"],
    "remark": ["two\nlines", "\x1b[31m", "x" * 1001],
    "path": [*NEVER, "a\0b", "x" * 300, "a/" * 4000],
    "pair": [*NEVER, "carrier", "=Northline", "carrier=", "carrier=a\nb"],
    "whole": [*NEVER, *NUMBERS, "1.5", "1_000", "99999999999"],
    "number": [*NEVER, *NUMBERS, "0"],
    "amount": [*NEVER, *NUMBERS, "-0.01", "$5", "18,50"],
    "month": [*NEVER, *NUMBERS, "2026-13", "2026-00", "2026-1", "0000-01", "2026-10-01", "october"],
    "months": [*NEVER, *NUMBERS, "2026-13", "2026-06..2026-01", "2026-01..", "..2026-01", "2026-01..2026-13"],
    "day": [*NEVER, *NUMBERS, "2026-02-30", "2026-13-01", "20260301", "2026-W10-1", "soon"],
    "currency": [*NEVER, *NUMBERS, "xx", "XXX", "euros", "<script>", "DEM"],
    "time_zone": [*NEVER, "Berlin", "Mars/Olympus", "../etc/passwd", "/etc/localtime", "America", "a\0b"],
}


def named(type_of: Any) -> str:
    """`options.whole(1, 5)` and `options.month` by the name of what makes or is the type."""
    return str(type_of.__qualname__).split(".")[0]


def taking_values(parser: argparse.ArgumentParser, typed: tuple[str, ...] = ()) -> Iterator[tuple[Any, list[str]]]:
    """Every argument of every command that takes a value, with a command line that ends where the value goes."""
    given: list[str] = []
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, inner in action.choices.items():
                yield from taking_values(inner, (*typed, name))
        elif action.nargs == 0:
            continue
        elif action.option_strings:
            yield action, [*typed, action.option_strings[-1]]
        else:
            yield action, [*typed, *given, "--"]
            given.append(plausible(action))


def plausible(action: argparse.Action) -> str:
    if action.choices:
        return str(next(iter(action.choices)))
    return {"month": "2026-10", "months": "2026-10", "day": "2026-10-01"}.get(named(action.type), "x")


PARSER = _parser()
ARGUMENTS = list(taking_values(PARSER))


def test_every_argument_that_takes_a_value_says_what_it_may_be() -> None:
    assert len(ARGUMENTS) > 50
    unsaid = [" ".join(typed) for action, typed in ARGUMENTS if action.type is None and not action.choices]
    assert unsaid == []
    assert {named(action.type) for action, _ in ARGUMENTS if action.type} <= set(MEANINGLESS)


@pytest.mark.parametrize(("action", "typed"), ARGUMENTS, ids=[" ".join(typed) for _, typed in ARGUMENTS])
def test_a_value_that_cannot_be_meant(
    action: argparse.Action, typed: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    for value in MEANINGLESS[named(action.type)] if action.type else [*NEVER, "other", "-5"]:
        # With the equals sign, so that a leading dash is a value and no option.
        line = [*typed[:-1], f"{typed[-1]}={value}"] if action.option_strings else _unambiguous(typed, value)
        with pytest.raises(SystemExit) as ended:
            PARSER.parse_args(line)
        reported = capsys.readouterr().err
        assert ended.value.code == 2, (line, reported)
        assert ": error: argument " in reported.splitlines()[-1] or "error: argument" in reported, (line, reported)
        assert "Traceback" not in reported


def _unambiguous(typed: list[str], value: str) -> list[str]:
    return [*typed, value] if value.startswith("-") else [*typed[:-1], value]


@pytest.mark.parametrize(
    ("made", "text", "value"),
    [
        (options.whole(1, 28), "28", 28),
        (options.whole(0, 28), " 0 ", 0),
        (options.number(0, 100), "0.5", 0.5),
        (options.amount, "14.25", "14.25"),
        (options.amount, "0", "0"),
        (options.month, "2026-10", "2026-10"),
        (options.months, "2026-10", "2026-10"),
        (options.months, "2026-01..2026-06", "2026-01..2026-06"),
        (options.day, "2024-02-29", date(2024, 2, 29)),
        (options.currency, "eur", "EUR"),
        (options.time_zone, "America/New_York", "America/New_York"),
        (options.words, "Straße 🔭", "Straße 🔭"),
        (options.remark, "", ""),
        (options.pair, "carrier=a=b", "carrier=a=b"),
        (options.path, "a b/ü.csv", Path("a b/ü.csv")),
    ],
)
def test_what_is_meant_is_read(made: Any, text: str, value: object) -> None:
    assert made(text) == value


def test_a_file_whose_name_is_no_text_is_reported_without_a_traceback(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["--shop", str(tmp_path), "tariff", "check", "bytes-\udcff.toml"]) == 1
    assert "Traceback" not in capfd.readouterr().err


def helps(parser: argparse.ArgumentParser) -> Iterator[str]:
    """All that `--help` says, command by command."""
    yield parser.format_help()
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from helps(inner)


def test_help_names_no_unit_of_one_kind_of_shop() -> None:
    """Each shop measures in its own; only `init` asks which they are."""
    said = re.sub(r"\{[^}]*\}", "", " ".join("\n".join(helps(PARSER)).split()))
    said = said.replace("metric (cm, kg) or inch (in, lb)", "")
    assert re.findall(r"\binch(?:es)?\b|\blbs?\b|_lb\b|_in\b|\bpounds?\b|\bounces?\b|\d in\b|\bcm\b|_kg\b", said) == []
