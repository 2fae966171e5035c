"""A child that hangs is ended: asked first, killed where it does not listen. What hangs here hangs for ever."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from pipelines.orchestration import workers
from tests.pipelines.served import HANGS

FOR_EVER = "import signal, threading; {deaf}print('begun', flush=True); threading.Event().wait()"
DEAF = "signal.signal(signal.SIGTERM, signal.SIG_IGN); "
TINY = 1e-3


def begun(deaf: str) -> subprocess.Popen[bytes]:
    child = subprocess.Popen([sys.executable, "-c", FOR_EVER.format(deaf=deaf)], stdout=subprocess.PIPE)
    assert child.stdout and child.stdout.readline() == b"begun\n"
    return child


@pytest.mark.parametrize(("deaf", "ending", "grace"), [("", signal.SIGTERM, HANGS), (DEAF, signal.SIGKILL, TINY)])
def test_a_child_that_waits_for_ever_is_asked_to_end_and_killed_if_deaf(
    deaf: str, ending: signal.Signals, grace: float
) -> None:
    with begun(deaf) as child:
        with pytest.raises(TimeoutError, match="was not over after"):
            workers.awaited(child, TINY, grace)
        assert child.returncode == -ending


def test_a_child_that_ends_in_time_gives_its_code() -> None:
    with subprocess.Popen([sys.executable, "-c", "raise SystemExit(3)"]) as child:
        assert workers.awaited(child, HANGS) == 3


def test_the_systems_own_limit_ends_a_run_that_nobody_watches() -> None:
    hangs = (
        "import threading; from pipelines.orchestration import workers\n"
        "with workers.limited(0.001): threading.Event().wait()"
    )
    folder = Path(__file__).parents[2]
    assert subprocess.run([sys.executable, "-c", hangs], cwd=folder, timeout=HANGS).returncode == -signal.SIGALRM


def test_a_limit_ends_with_its_block() -> None:
    with workers.limited(HANGS):
        pass
    assert signal.getitimer(signal.ITIMER_REAL) == (0.0, 0.0)
