"""The schedule at work in a process of its own, and what it and its children hold open: Linux's /proc says so."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path

from pipelines.orchestration import serving

# The command line as it stands, but in a hurry: it looks ten times a second, and tries again at once.
IN_A_HURRY = """
import sys
from pipelines.cli import main
from pipelines.commands import schedule
schedule.LOOK_SECONDS, schedule.PAUSES = 0.1, (0.1,)
sys.exit(main(sys.argv[1:]))
"""
LISTENING = "0A"
# Longer than anything here takes on a busy machine: only what hangs for ever fails by it.
HANGS = 900.0


@contextmanager
def schedule(folder: Path, **environment: str) -> Iterator[subprocess.Popen[str]]:
    """`dunnage schedule` with what it prints as a pipe, which ends when the last of its processes has ended."""
    started = subprocess.Popen(
        [sys.executable, "-c", IN_A_HURRY, "--shop", str(folder), "schedule"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=surroundings(**environment),
    )
    try:
        yield started
    finally:
        started.send_signal(signal.SIGTERM)
        started.communicate(timeout=HANGS)


def surroundings(**environment: str) -> Mapping[str, str]:
    """The environment without a server named in it, and with these names."""
    return {name: text for name, text in os.environ.items() if name != serving.ADDRESS} | environment


def line_with(started: subprocess.Popen[str], words: str) -> str:
    """The next printed line that holds these words; fails with all that was printed where none comes."""
    assert started.stdout
    seen = []
    for line in started.stdout:
        if words in line:
            return line
        seen.append(line)
    raise AssertionError(f"“{words}” was never printed:\n{''.join(seen)}")


def until(happens: Callable[[], bool], started: subprocess.Popen[str], pause: float = 0.1) -> None:
    """Wait for it as long as the process lives, and look again after each pause of so many seconds."""
    while not happens():
        if started.poll() is not None:
            raise AssertionError(f"it ended before with {started.returncode}:\n{started.communicate()[0]}")
        time.sleep(pause)


def family(parent: int) -> list[int]:
    """The parent and all that descend from it and live."""
    try:
        lists = [path.read_text() for path in Path(f"/proc/{parent}/task").glob("*/children")]
    except OSError:
        return []
    children = [int(child) for listed in lists for child in listed.split()]
    return [parent, *(each for child in children for each in family(child))]


def ports(processes: list[int]) -> set[int]:
    """TCP ports on which these processes listen."""
    held = {link for each in processes for link in _links(each)}
    rows = [line.split() for name in ("tcp", "tcp6") for line in Path(f"/proc/net/{name}").read_text().splitlines()[1:]]
    return {int(row[1].rsplit(":")[-1], 16) for row in rows if row[3] == LISTENING and f"socket:[{row[9]}]" in held}


def _links(parent: int) -> Iterator[str]:
    for path in Path(f"/proc/{parent}/fd").glob("*"):
        try:
            yield str(path.readlink())
        except OSError:
            continue


def noted(home: Path, query: str) -> set[str]:
    """What the orchestrator's own database has noted."""
    with closing(sqlite3.connect(home / "prefect.db")) as book:
        return {text for (text,) in book.execute(query)}
