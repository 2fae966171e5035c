"""What a long command is doing and about how long it still takes: one line on the terminal, gone when it is done.

It stands on standard error, and only where both outputs are a terminal. What is left is known from the last run that
did the same step, which is recorded in the shop's folder, or from the share of the work that is done.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.text import Text

RECORD = ".progress.json"
# Seconds. A run that takes less shows nothing worth recording; what is said to take longer is said in minutes.
LEAST, MINUTES_FROM = 1.0, 100.0
LEAST_SHARE = 0.02  # of the work: less says nothing of the rest


def nothing(step: str, share: float = 0.0) -> None:
    """A listener to steps that shows none."""


@dataclass
class Doing:
    """The step that a command is at. left: seconds from the beginning of a step to the end, as they were last time."""

    step: str
    left: Mapping[str, float] = field(default_factory=dict)
    clock: Callable[[], float] = time.monotonic
    share: float = 0.0
    starts: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.starts[self.step] = self.clock()

    def begin(self, step: str, share: float = 0.0) -> None:
        """Begin a step. share: of the work, what is done by now."""
        self.step, self.share = step, share
        self.starts[step] = self.clock()

    def seconds_left(self) -> float | None:
        """About how long it still takes; None where nothing says it, or it takes longer than that."""
        now = self.clock()
        in_step, before = now - self.starts[self.step], self.starts[self.step] - self._began
        expected = before * (1 - self.share) / self.share if self.share >= LEAST_SHARE else self.left.get(self.step)
        return expected - in_step if expected is not None and expected > in_step else None

    @property
    def _began(self) -> float:
        return min(self.starts.values())

    def words(self) -> str:
        """The line to show."""
        seconds = self.seconds_left()
        if seconds is None:
            return f"{self.step}: {self.clock() - self._began:.0f} s so far"
        minutes = seconds >= MINUTES_FROM
        return f"{self.step}: about {max(seconds / (60 if minutes else 1), 1):.0f} {'min' if minutes else 's'} left"

    def taken(self) -> dict[str, float]:
        """Seconds from each step's beginning to now, for the next run; none of a run that was over at once."""
        end = self.clock()
        left = {step: round(end - start, 1) for step, start in self.starts.items()}
        return left if end - self._began >= LEAST else {}

    def __rich__(self) -> Text:
        """As it is drawn, several times a second."""
        from rich.text import Text

        from models.visible import visible

        return Text(visible(self.words()), no_wrap=True, overflow="ellipsis")


@contextmanager
def shown(
    folder: Path, command: str, step: str, verb: str = "", *, is_quiet: bool = False
) -> Iterator[Callable[..., None]]:
    """Show the first step; yields what is called with each further one and, where known, the share of work done.

    folder: the shop's. verb: stands before each further step. is_quiet: for an answer that another program reads.
    """
    if is_quiet or not (sys.stderr.isatty() and sys.stdout.isatty()):
        yield nothing
        return
    from rich.console import Console

    record = _recorded(folder)
    doing = Doing(step, record.get(command, {}))
    with Console(stderr=True).status(doing, refresh_per_second=4):
        yield lambda name, share=0.0: doing.begin(f"{verb} {name}".strip(), share)
    if taken := doing.taken():
        _keep(folder, {**record, command: {**record.get(command, {}), **taken}})


def _recorded(folder: Path) -> dict[str, dict[str, float]]:
    """Seconds by command and step; nothing where the file is missing or damaged."""
    try:
        found = json.loads((folder / RECORD).read_text(encoding="utf-8"))
        return {
            command: {str(step): float(seconds) for step, seconds in steps.items()} for command, steps in found.items()
        }
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _keep(folder: Path, record: Mapping[str, Mapping[str, float]]) -> None:
    from pipelines.shop import durable

    try:
        durable.write(folder / RECORD, json.dumps(record))
    except OSError:  # the command has done its work; what it took is worth no error
        return
