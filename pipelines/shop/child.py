"""A process of its own for files that a library opens: it is asked by a line of JSON and answers by another.

What takes it beyond the limits that it sets itself (its module's `serve`) costs it its life and the parent nothing.
"""

import contextlib
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

_START = "import sys; sys.path[:] = {paths!r}; from {module} import serve; serve()"


class Child:
    """A running process and its two pipes. module: whose `serve` reads and answers."""

    def __init__(self, module: str) -> None:
        paths = [path or str(Path.cwd()) for path in sys.path]
        self.running = subprocess.Popen(
            [sys.executable, "-c", _START.format(paths=paths, module=module)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )

    def answer(self, request: dict[str, Any]) -> Any:
        """What it answers; None where it died instead."""
        assert self.running.stdin is not None and self.running.stdout is not None
        try:
            self.running.stdin.write(json.dumps(request).encode() + b"\n")
            self.running.stdin.flush()
            line = self.running.stdout.readline()
        except OSError:
            return None
        return json.loads(line) if line.endswith(b"\n") else None

    def close(self) -> int:
        """End it, whatever it is at; returns how it ended."""
        self.leave()
        self.running.kill()
        return self.running.wait()

    def leave(self) -> None:
        """Let go of the pipes without a word."""
        for pipe in (self.running.stdin, self.running.stdout):
            with contextlib.suppress(OSError):
                if pipe is not None:
                    pipe.close()
