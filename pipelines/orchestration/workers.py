"""Does a command in a process of its own that ends when the one that started it ends, however that comes about.

The parent holds the writing end of the child's standard input and never writes. The system closes it when the parent
ends, also when it is killed; the child waits for that on a thread and then ends at once. What it had in hand is as safe
as after any kill: done again by the next run.
"""

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

# EX_TEMPFAIL of sysexits.h: try again later.
ORPHANED = 75
# A run that is asked to end ends at once, unless it is stuck in the system.
GRACE_SECONDS = 10.0


def do(words: Sequence[str], longest_seconds: float) -> int:
    """Run `dunnage WORDS` in a child and wait for it; returns its exit code, negative for the signal that ended it.

    Raises TimeoutError where it was not over in time and was therefore ended.
    """
    # -P: modules are never looked for in the folder where the command happens to be started.
    command = [sys.executable, "-P", "-m", "pipelines.cli", *words]
    child = subprocess.Popen(command, stdin=subprocess.PIPE)
    assert child.stdin
    try:
        return awaited(child, longest_seconds)
    finally:
        child.stdin.close()
        child.wait()


def awaited(child: subprocess.Popen[bytes], longest_seconds: float, grace_seconds: float = GRACE_SECONDS) -> int:
    """The exit code of a child. Raises TimeoutError after it was ended: asked to end, and killed where it does not."""
    is_late = threading.Event()

    def end() -> None:
        is_late.set()
        child.terminate()
        try:
            child.wait(grace_seconds)
        except subprocess.TimeoutExpired:
            child.kill()

    # The wait itself takes no time-out: one with a time-out would look twenty times a second, for hours.
    limit = threading.Timer(longest_seconds, end)
    limit.daemon = True
    limit.start()
    try:
        code = child.wait()
    finally:
        limit.cancel()
    if is_late.is_set():
        raise TimeoutError(f"process {child.pid} was not over after {longest_seconds:g} seconds")
    return code


@contextmanager
def limited(longest_seconds: float) -> Iterator[None]:
    """Within the block the system itself ends this process after so long, whatever it hangs in."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, longest_seconds)
    try:
        yield
    finally:
        if hasattr(signal, "setitimer"):
            signal.setitimer(signal.ITIMER_REAL, 0)


def end_with_parent() -> None:
    """End this process at once when its standard input closes."""
    threading.Thread(target=_watch, name="end with the parent", daemon=True).start()


def _watch() -> None:
    while os.read(0, 1):  # the file itself: a buffered read would hold a lock at the end of the process
        pass
    os._exit(ORPHANED)
