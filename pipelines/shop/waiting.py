"""The writer's lock of a shop's folder, and the only place that waits where another command holds it."""

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime
from pathlib import Path

from models.errors import WarehouseBusyError

LOCK = "warehouse.lock"
HOLDER = "warehouse-writer.json"
# Seconds for which a writer waits until another one ends. A person hears of it at once; a scheduled run waits.
PATIENCE: ContextVar[float] = ContextVar("patience", default=0.0)


@contextmanager
def sole_writer(folder: Path, command: str, seconds: float | None = None) -> Iterator[None]:
    """Hold the lock until the block ends; waited for so many seconds, or as PATIENCE says.

    The system lets it go when the process dies. Raises WarehouseBusyError that names the holder.
    """
    note = folder / HOLDER
    with sole(folder / LOCK, PATIENCE.get() if seconds is None else seconds) as is_ours:
        if not is_ours:
            raise WarehouseBusyError(
                str(folder / LOCK),
                f"the warehouse is being written by {_named(note)}",
                "this command; readers go on",
                "wait until that command ends, then run this one again",
            )
        try:
            since = datetime.now().astimezone().isoformat(timespec="seconds")
            note.write_text(json.dumps({"command": command, "process": os.getpid(), "since": since}), encoding="utf-8")
            yield
        finally:
            note.unlink(missing_ok=True)


@contextmanager
def sole(path: Path, seconds: float) -> Iterator[bool]:
    """Whether this process alone holds the lock file until the block ends; false where another did for so long.

    The system lets it go when its holder dies.
    """
    from filelock import FileLock, Timeout

    lock = FileLock(path, timeout=seconds, mode=0o600)
    try:
        lock.acquire()
    except Timeout:
        yield False
        return
    try:
        yield True
    finally:
        lock.release()


def _named(note: Path) -> str:
    try:
        said = json.loads(note.read_text(encoding="utf-8"))
        return f"`dunnage {said['command']}`, process {said['process']}, since {said['since']}"
    except (OSError, ValueError, KeyError):
        return "another command"
