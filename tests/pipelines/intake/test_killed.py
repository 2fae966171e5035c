"""An intake or a withdrawal that is killed at any moment either happened or did not, and leaves no process."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

# A withdrawal needs a shop that has taken in its files, which costs more than itself.
# `python -m tests.benchmarks faults` tries sixty and twenty more, at other moments.
MOMENTS = {"intake": 3, "withdrawal": 1}
SEED = 7


@pytest.mark.slow
@pytest.mark.parametrize("work", MOMENTS)
def test_what_was_killed_is_made_good_by_the_next(tmp_path: Path, work: str) -> None:
    done = subprocess.Popen(
        [sys.executable, "-m", "tests.pipelines.intake.killing", str(tmp_path), str(MOMENTS[work]), work, str(SEED)],
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    reported, _ = done.communicate()
    assert done.returncode == 0  # why not was printed
    killed, different = map(int, reported.split())
    assert different == 0
    assert killed == MOMENTS[work]
    # The last reader's end is awaited, not timed: a session without a process is the event.
    while left := list(_of_session(done.pid)):
        assert not any("reading.reader" not in command for command in left), left


def _of_session(session: int) -> Iterator[str]:
    for status in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = status.read_text().rpartition(")")[2].split()
            command = status.with_name("cmdline").read_text()
        except OSError:
            continue
        if int(fields[3]) == session and fields[0] != "Z":
            yield command
