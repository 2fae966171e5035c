"""Files of formats that a library unfolds are read in a process of their own, within limits that the system holds.

One reader serves one file after another, for as long as its parent lives. A file that takes more processor time or
memory than its size explains costs the reader its life and is refused; the next file gets a new reader. When the parent
ends, however it is killed, the reader ends with it (pipelines/intake/reading/reader.py).
"""

from __future__ import annotations

import atexit
import os
import signal
import threading
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from models.settings.reading_limits import Limits
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.tables import Kept, source_error
from pipelines.shop.child import Child

if TYPE_CHECKING:
    from pipelines.shop.settings import Source
    from pipelines.shop.warehouse import Connection

# A reader that still holds so much when a file is done makes way for a fresh one.
_MOST_KEPT_BYTES = 300_000_000
_READER = "pipelines.intake.reading.reader"


@dataclass(frozen=True)
class TableApart:
    """A table that the reader has open; what is asked of it names the file, so that any reader can answer.

    sheets: of a workbook, those that are not hidden.
    """

    file: dict[str, Any]
    headers: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    sheets: tuple[str, ...] = ()

    def copy(self, connection: Connection, kept: Sequence[Kept], target: Path) -> None:
        _ask({**self.file, "do": "copy", "kept": [asdict(column) for column in kept], "target": str(target)})


def open_apart(source: Source, content: Content, scratch: Path, limits: Limits) -> TableApart:
    """The file opened by the reader. Raises SourceFileError, also for what it takes beyond its limits."""
    said = {
        "format": source.format,
        "encoding": source.read_as,
        "is_encoding_stated": source.encoding is not None,
        "sheet": source.sheet,
        "header": source.header,
        "mapped": source.mapped,
    }
    file = {
        "source": said,
        "content": {**asdict(content), "path": str(content.path)},
        "scratch": str(scratch),
        "limits": asdict(limits),
    }
    answer = _ask({**file, "do": "open"})
    return TableApart(file, tuple(answer["headers"]), answer["rows"], tuple(answer["sheets"]))


def warm_up() -> None:
    """Start the reader, so that it is there when the first file asks for it."""
    with _LOCK:
        _started()


_LOCK = threading.Lock()
_readers: list[Child] = []


def _started() -> Child:
    if _readers and _readers[0].running.poll() is not None:
        _readers.pop().close()
    if not _readers:
        _readers.append(Child(_READER))
    return _readers[0]


@atexit.register
def end() -> None:
    """End the reader; the next file starts another."""
    while _readers:
        _readers.pop().close()


def _forget() -> None:
    """After a fork: the reader belongs to the parent."""
    global _LOCK
    _LOCK = threading.Lock()
    while _readers:
        reader = _readers.pop()
        reader.leave()
        reader.running.returncode = 0  # not ours to wait for


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_forget)


def _ask(request: dict[str, Any]) -> dict[str, Any]:
    name = request["content"]["name"]
    with _LOCK:
        answer: dict[str, Any] | None = _started().answer(request)
        if answer is None:
            raise _fatal(name, request, _readers.pop().close())
        if answer.get("held_bytes", 0) > _MOST_KEPT_BYTES:
            _readers.pop().close()
    if "refused" in answer:
        raise source_error(*answer["refused"])
    return answer


def _fatal(name: str, request: dict[str, Any], ended: int) -> Exception:
    limits, size = Limits(**request["limits"]), request["content"]["byte_count"]
    if hasattr(signal, "SIGXCPU") and ended == -signal.SIGXCPU:
        seconds = limits.processor_seconds(size)
        return source_error(name, f"takes more than {seconds:,.0f} seconds to read, far more than its size explains")
    most = limits.memory_bytes(size) // 1_000_000
    return source_error(name, f"cannot be read: its reader broke down, within {most:,} MB of memory")
