"""The reader in its own process: one request after another, each a file to open or to copy.

It holds itself to the limits of the file at hand. Nothing of it is pickled: what comes back to the parent is text.
"""

import json
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Any

from models.errors import DunnageError
from models.settings.reading_limits import Limits
from pipelines.intake.reading.finding import Content
from pipelines.intake.reading.tables import Kept, ShapeError, Table, refuse_shape

try:
    import fcntl
    import resource
    import select
except ImportError:  # a system without them holds no limits; the shapes of files are still bounded
    fcntl = resource = select = None  # type: ignore[assignment]

_ENDS_WITH_PARENT = fcntl is not None and hasattr(os, "O_ASYNC")


def serve() -> None:
    """Answer until the parent closes the pipe, or is gone."""
    # An interruption at the terminal is the parent's to answer.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    # What a library prints must not come between the answers.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    if resource is not None:
        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
    with suppress(BrokenPipeError):
        for request in requests:
            with _until_parent_ends(requests.fileno()):
                answer = {**_answer(json.loads(request)), "held_bytes": _held_bytes()}
            answers.write(json.dumps(answer).encode() + b"\n")
            answers.flush()


@contextmanager
def _until_parent_ends(pipe: int) -> Iterator[None]:
    """While at work: when the pipe's other end closes, the system ends this process, whatever it is in.

    The signal's own default ends it; no line of Python need run. Between requests the end of the pipe is simply read.
    """
    if not _ENDS_WITH_PARENT:
        yield
        return
    flags = fcntl.fcntl(pipe, fcntl.F_GETFL)
    fcntl.fcntl(pipe, fcntl.F_SETOWN, os.getpid())
    fcntl.fcntl(pipe, fcntl.F_SETFL, flags | os.O_ASYNC)
    waiting = select.poll()
    waiting.register(pipe, select.POLLHUP)
    if waiting.poll(0):
        os._exit(0)
    try:
        yield
    finally:
        fcntl.fcntl(pipe, fcntl.F_SETFL, flags)


_opened: dict[str, Table] = {}


def _answer(request: dict[str, Any]) -> dict[str, Any]:
    name, limits = request["content"]["name"], Limits(**request["limits"])
    try:
        _limit(limits, request["content"]["byte_count"])
        return _done(request, limits)
    except DunnageError as refused:
        return {"refused": [refused.where, refused.what, refused.next_step]}
    except ShapeError as wrong:
        said = str(wrong)
    except MemoryError:
        most = limits.memory_bytes(request["content"]["byte_count"]) // 1_000_000
        said = f"takes more than {most:,} MB of memory to read, far more than its size explains"
    except Exception as broken:  # whatever a library raises is a fault of this file
        said = f"cannot be read: {type(broken).__name__}: {(str(broken).splitlines() or [''])[0][:200]}"
    _opened.clear()
    return {"refused": [name, said, "check the file, or export it again"]}


def _done(request: dict[str, Any], limits: Limits) -> dict[str, Any]:
    key = json.dumps([request["source"], request["content"], request["scratch"]])
    if key not in _opened:
        _opened.clear()
        content = Content(**{**request["content"], "path": Path(request["content"]["path"])})
        _opened[key] = unfolded(Said(**request["source"]), content, Path(request["scratch"]), limits)
    table = _opened[key]
    if request["do"] == "open":
        refuse_shape(table.headers, request["content"]["name"], limits)
        return {"headers": table.headers, "rows": table.rows, "sheets": getattr(table, "sheet_names", ())}
    table.copy(None, [Kept(**column) for column in request["kept"]], Path(request["target"]))  # type: ignore[arg-type]
    _opened.clear()
    return {}


def _limit(limits: Limits, byte_count: int) -> None:
    """Processor time from now on, and memory as a whole. Only the soft limits are set, which can be set again."""
    if resource is None:
        return
    spent = resource.getrusage(resource.RUSAGE_SELF)
    seconds = ceil(spent.ru_utime + spent.ru_stime + limits.processor_seconds(byte_count))
    _set_soft(resource.RLIMIT_CPU, seconds)
    _set_soft(resource.RLIMIT_DATA, limits.memory_bytes(byte_count))


def _set_soft(kind: int, value: int) -> None:
    hard = resource.getrlimit(kind)[1]
    resource.setrlimit(kind, (value if hard == resource.RLIM_INFINITY else min(value, hard), hard))


def _held_bytes() -> int:
    """Memory that this process holds now; 0 where the system does not say."""
    try:
        pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[1]
    except OSError:
        return 0
    return int(pages) * os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True)
class Said:
    """What the source says about its files. mapped: the headers that its column map names.

    is_encoding_stated: the user stated the encoding; else JSON has to prove that it is UTF-8.
    """

    format: str
    encoding: str
    is_encoding_stated: bool
    sheet: str | None
    header: bool
    mapped: list[str]


def unfolded(said: Said, content: Content, scratch: Path, limits: Limits) -> Table:
    """The file with its headers and first rows. Raises SourceFileError, and whatever the format's library raises.

    Libraries are loaded with the first file that needs them.
    """
    if said.format == "xlsx":
        from pipelines.intake.reading.workbooks import open_workbook

        return open_workbook(content, said.sheet, said.mapped, is_headed=said.header, limits=limits)
    if said.format == "parquet":
        from pipelines.intake.reading.parquet_files import open_parquet

        return open_parquet(content, scratch, limits)
    from pipelines.intake.reading.encodings import as_utf8
    from pipelines.intake.reading.json_records import JsonText, open_json

    path = as_utf8(content.path, content.name, said.encoding, scratch, keeps_bytes=True)
    text = JsonText(path, content.name, limits, said.format == "jsonl", said.is_encoding_stated)
    return open_json(text, said.mapped)
