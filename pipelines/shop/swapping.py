"""Puts prepared files into a shop's folder as one step: a journal says what goes where, and is carried out.

A file system renames one thing at a time. So everything is prepared beside, then the list of renames is written; from
that moment the swap counts as done. A kill or a power cut between two renames leaves the journal, and the next command
of the shop finishes it before it looks at anything.
"""

import json
import os
import shutil
from collections.abc import Sequence
from pathlib import Path

from models.errors import BackupError
from pipelines.shop import durable, waiting

JOURNAL = "restoring.json"
STAGE = ".restoring"
# Renames take moments; a holder of the lock that finds a journal carries it out before anything else.
PATIENCE_SECONDS = 60.0


def swap(folder: Path, steps: Sequence[tuple[str, str]]) -> None:
    """Rename each (from, to), relative to the folder, in this order; then the folder STAGE goes. The lock is held."""
    for where in (folder / STAGE).iterdir():
        durable.flush(where)
    durable.write(folder / JOURNAL, json.dumps(steps))
    carry_out(folder)


def is_pending(folder: Path) -> bool:
    """Whether a swap was begun and not finished."""
    return (folder / JOURNAL).exists()


def finish(folder: Path) -> None:
    """Finish a swap that was cut off. Raises WarehouseBusyError where one is at work and does not come to its end."""
    if not is_pending(folder):
        return
    with waiting.sole_writer(folder, "restore", PATIENCE_SECONDS):
        carry_out(folder)


def carry_out(folder: Path) -> None:
    """The same for one who holds the lock; nothing happens where no swap is pending."""
    if not is_pending(folder):
        return
    for source, target in json.loads((folder / JOURNAL).read_text(encoding="utf-8")):
        _rename(folder, source, target)
    shutil.rmtree(folder / STAGE, ignore_errors=True)
    (folder / JOURNAL).unlink()
    durable.flush_folder(folder)


def _rename(folder: Path, source: str, target: str) -> None:
    """One step, which may have been done before: then the source is gone, or another lies there in its place."""
    if not os.path.lexists(folder / source):
        return
    if not os.path.lexists(folder / target):
        durable.make_folder((folder / target).parent)
        durable.replace(folder / source, folder / target)
    elif source.startswith(f"{STAGE}/"):
        raise BackupError(
            str(folder / target),
            "was written after a restore was cut off, which is to put another there",
            "every command of this shop",
            "move it away, then run this one again",
        )
