"""Pictures and documents are opened in a process of their own, within limits that the system holds.

A file that takes too much of the processor or of memory costs the reader its life and is refused; the next one gets a
new reader (pipelines/review/claims/picture_reader.py).
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

_START = "import sys; sys.path[:] = {paths!r}; from pipelines.review.claims.picture_reader import serve; serve()"


@dataclass
class Reader:
    """Asks the process about one file after another; it is started for the first."""

    running: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def fault(self, path: Path, kind: str) -> str:
        """Why a file is no picture or document that can be used; empty where it is one. kind: of SUFFIXES."""
        return str(self._ask({"do": "check", "path": str(path), "kind": kind}))

    def copy(self, path: Path, kind: str, target: Path) -> str:
        """Write a copy that holds nothing but what is seen; the same answer as `fault`."""
        return str(self._ask({"do": "copy", "path": str(path), "kind": kind, "target": str(target)}))

    def _ask(self, request: dict[str, Any]) -> str:
        child = self._started()
        assert child.stdin is not None and child.stdout is not None
        try:
            child.stdin.write(json.dumps(request).encode() + b"\n")
            child.stdin.flush()
            answer = child.stdout.readline()
        except OSError:
            answer = b""
        if not answer:
            self.close()
            return "takes more time or memory than a picture may"
        return str(json.loads(answer))

    def _started(self) -> subprocess.Popen[bytes]:
        if not self.running:
            paths = [path or str(Path.cwd()) for path in sys.path]
            self.running.append(
                subprocess.Popen(
                    [sys.executable, "-c", _START.format(paths=paths)],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                )
            )
        return self.running[0]

    def close(self) -> None:
        """End the process, whatever it is at."""
        while self.running:
            child = self.running.pop()
            child.kill()
            child.communicate()


@contextmanager
def reader() -> Iterator[Reader]:
    """A reader that has ended when the block ends."""
    found = Reader()
    try:
        yield found
    finally:
        found.close()
