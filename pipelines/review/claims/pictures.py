"""Pictures and documents are opened in a process of their own, within limits that the system holds.

A file that takes too much of the processor or of memory costs the reader its life and is refused; the next one gets a
new reader (pipelines/review/claims/picture_reader.py).
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipelines.shop.child import Child

_READER = "pipelines.review.claims.picture_reader"


@dataclass
class Reader:
    """Asks the process about one file after another; it is started for the first."""

    running: Child | None = None

    def fault(self, path: Path, kind: str) -> str:
        """Why a file is no picture or document that can be used; empty where it is one. kind: of SUFFIXES."""
        return self._ask({"do": "check", "path": str(path), "kind": kind})

    def copy(self, path: Path, kind: str, target: Path) -> str:
        """Write a copy that holds nothing but what is seen; the same answer as `fault`."""
        return self._ask({"do": "copy", "path": str(path), "kind": kind, "target": str(target)})

    def _ask(self, request: dict[str, Any]) -> str:
        self.running = self.running or Child(_READER)
        answer = self.running.answer(request)
        if answer is None:
            self.close()
            return "takes more time or memory than a picture may"
        return str(answer)

    def close(self) -> None:
        """End the process, whatever it is at."""
        if self.running:
            self.running.close()
        self.running = None


@contextmanager
def reader() -> Iterator[Reader]:
    """A reader that has ended when the block ends."""
    found = Reader()
    try:
        yield found
    finally:
        found.close()
