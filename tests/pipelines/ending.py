"""A process that ends itself after some processor time, as a kill would end it: at no moment that a busy machine moves.

The system's profiling timer counts the time that the process computes, whatever else runs on the machine; the signal's
default action ends the process at once, and nothing of Python runs any more.
"""

from __future__ import annotations

import ctypes
import os
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass

from tests.pipelines.served import family, ports

# prctl(2) of Linux: orphaned descendants become children of the caller.
PR_SET_CHILD_SUBREAPER = 36


@dataclass(frozen=True)
class End:
    """How a child ended. seconds: processor time that it used. said: what it printed, with any traceback."""

    is_whole: bool
    is_killed: bool
    seconds: float
    said: str


def in_a_child(work: Callable[[], object], seconds: float | None = None) -> End:
    """Do it in a forked process, ended after so many seconds of processor time; whole where `work` gives 0 or None."""
    with tempfile.TemporaryFile() as said:
        child = os.fork()
        if child == 0:
            _do(work, seconds, said.fileno())
        _, status, used = os.wait4(child, 0)
        said.seek(0)
        text = said.read().decode(errors="replace")
    is_killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGPROF
    return End(status == 0, is_killed, used.ru_utime + used.ru_stime, text)


def _do(work: Callable[[], object], seconds: float | None, said: int) -> None:
    for stream in (1, 2):
        os.dup2(said, stream)
    code = 1
    try:
        if seconds is not None:
            signal.setitimer(signal.ITIMER_PROF, max(seconds, 1e-6))
        code = int(bool(work()))
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        os._exit(code)


def adopt_orphans() -> None:
    """What a killed child leaves behind becomes a child of this process, so that `left_behind` finds it. Linux only."""
    if sys.platform == "linux":
        ctypes.CDLL(None, use_errno=True).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)


def left_behind(seconds: float = 60.0) -> list[str]:
    """Processes that still live so long after all that were waited for have ended, with the ports they listen on."""
    until = time.monotonic() + seconds
    while (living := family(os.getpid())[1:]) and time.monotonic() < until:
        os.waitpid(-1, os.WNOHANG)
        time.sleep(0.05)
    return [f"process {each} with ports {sorted(ports([each]))}" for each in living]
