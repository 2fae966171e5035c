"""Does a command in a process of its own that ends when the one that started it ends, however that comes about.

The parent holds the writing end of the child's standard input and never writes. The system closes it when the parent
ends, also when it is killed; the child waits for that on a thread and then ends at once. What it had in hand is as safe
as after any kill: done again by the next run.
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Sequence

# EX_TEMPFAIL of sysexits.h: try again later.
ORPHANED = 75


def do(words: Sequence[str]) -> int:
    """Run `dunnage WORDS` in a child and wait for it; returns its exit code, negative for the signal that ended it."""
    # -P: modules are never looked for in the folder where the command happens to be started.
    command = [sys.executable, "-P", "-m", "pipelines.cli", *words]
    child = subprocess.Popen(command, stdin=subprocess.PIPE)
    assert child.stdin
    try:
        return child.wait()
    finally:
        child.stdin.close()
        child.wait()


def end_with_parent() -> None:
    """End this process at once when its standard input closes."""
    threading.Thread(target=_watch, name="end with the parent", daemon=True).start()


def _watch() -> None:
    while os.read(0, 1):  # the file itself: a buffered read would hold a lock at the end of the process
        pass
    os._exit(ORPHANED)
