"""The line of a long command: about how long it still takes, and nothing of it where no person looks."""

from __future__ import annotations

import contextlib
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from pipelines import cli, progress
from pipelines.progress import RECORD, Doing
from tests.pipelines.small_shop import built_shop


class Terminal(io.StringIO):
    """A file that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@contextlib.contextmanager
def looked_at(out: io.StringIO | None = None) -> Iterator[tuple[io.StringIO, Terminal]]:
    """What is printed to both outputs, which are terminals; out: standard output, if it is none."""
    outputs = out or Terminal(), Terminal()
    with contextlib.redirect_stdout(outputs[0]), contextlib.redirect_stderr(outputs[1]):
        yield outputs


@pytest.fixture(autouse=True)
def colours(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")


class Clock:
    """Seconds as the test sets them."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


def at(doing: Doing, clock: Clock, seconds: float) -> str:
    clock.now = seconds
    return doing.words()


def test_what_is_left_is_what_it_took_from_the_same_step_last_time() -> None:
    clock = Clock()
    doing = Doing("opening", {"opening": 20.0, "b": 12.0}, clock)
    assert at(doing, clock, 0) == "opening: about 20 s left"
    assert at(doing, clock, 5) == "opening: about 15 s left"
    clock.now = 30
    doing.begin("b")
    assert at(doing, clock, 32) == "b: about 10 s left"
    assert at(doing, clock, 43) == "b: 43 s so far", "it takes longer than last time"
    doing.begin("c")
    assert at(doing, clock, 44) == "c: 44 s so far", "never done before"
    assert doing.taken() == {"opening": 44.0, "b": 14.0, "c": 1.0}


def test_the_share_that_is_done_says_more_than_the_last_run() -> None:
    clock = Clock()
    doing = Doing("looking", {"c.csv": 3.0}, clock)
    clock.now = 30
    doing.begin("c.csv", 0.25)
    assert doing.words() == "c.csv: about 90 s left"
    assert at(doing, clock, 40) == "c.csv: about 80 s left"
    clock.now = 100
    doing.begin("d.csv", 0.25)
    assert doing.words() == "d.csv: about 5 min left"


def test_what_was_over_at_once_is_not_recorded() -> None:
    clock = Clock()
    doing = Doing("opening", {}, clock)
    clock.now = 0.9
    assert doing.taken() == {}


def test_a_run_leaves_its_times_for_the_next_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "LEAST", 0.0)
    (tmp_path / RECORD).write_text(json.dumps({"review": {"building z": 9.0}, "intake": {"x": 1}}), encoding="utf-8")
    with looked_at() as (_, line), progress.shown(tmp_path, "review", "opening", "building") as step:
        step("b\x1b[31m")
    kept = json.loads((tmp_path / RECORD).read_text(encoding="utf-8"))
    assert set(kept["review"]) == {"opening", "building b\x1b[31m", "building z"}
    assert kept["intake"] == {"x": 1.0}
    assert "building b" in line.getvalue() and "\x1b[31m" not in line.getvalue()
    with pytest.raises(ValueError, match="broken"), looked_at(), progress.shown(tmp_path, "review", "other"):
        raise ValueError("broken")
    assert "other" not in json.loads((tmp_path / RECORD).read_text(encoding="utf-8"))["review"]


@pytest.mark.parametrize("record", ["", "[]", '{"review": 3}', '{"review": {"opening": "x"}}'])
def test_a_damaged_record_is_none(tmp_path: Path, record: str) -> None:
    (tmp_path / RECORD).write_text(record, encoding="utf-8")
    with looked_at() as (_, line), progress.shown(tmp_path, "review", "opening"):
        pass
    assert "opening: 0 s so far" in line.getvalue()


def test_nothing_is_shown_where_no_person_looks(tmp_path: Path) -> None:
    with looked_at() as (_, line), progress.shown(tmp_path, "cartons", "opening", is_quiet=True) as step:
        step("b", 0.5)
    with looked_at(io.StringIO()) as (_, piped), progress.shown(tmp_path, "review", "opening") as step:
        step("b")
    assert line.getvalue() == piped.getvalue() == "" and not (tmp_path / RECORD).exists()


# Each may build, import or copy for more than two seconds.
LONG = (
    *("review 2026-10", "send 2026-10 --dry-run", "damage", "decide", "trial list", "watch", "bench-sheets"),
    *("intake", "replay", "backup {out}", "cartons", "intake --withdraw 9", "restore {out}/none.zip"),
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built_shop(tmp_path_factory.mktemp("progress")).folder


@pytest.mark.parametrize("command", LONG)
def test_long_commands_say_what_they_do(command: str, shop: Path, tmp_path: Path) -> None:
    with looked_at() as (out, line):
        cli.main(["--shop", str(shop), *command.format(out=tmp_path).split()])
    assert re.search(r": (\d+ s so far|about \d+ s left)", line.getvalue())
    assert "so far" not in out.getvalue()


@pytest.mark.parametrize("command", ["damage", "decide", "trial list", "watch", "cartons"])
def test_json_comes_without_a_line(command: str, shop: Path) -> None:
    with looked_at() as (_, line):
        cli.main(["--shop", str(shop), *command.split(), "--json"])
    assert "so far" not in line.getvalue() and "\x1b[" not in line.getvalue()
