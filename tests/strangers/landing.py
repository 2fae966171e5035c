"""Files put into a shop's inbox and taken in, and what the warehouse then says of each."""

from __future__ import annotations

import json
import tempfile
import traceback
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import groupby
from pathlib import Path
from typing import Any

from models.errors import NotFoundError
from pipelines.intake.deliveries import Delivery
from pipelines.intake.importing import import_files
from pipelines.shop import warehouse
from pipelines.shop.settings import Engine, Settings, Shop
from tests.strangers.trials import Trial

NOW = datetime(2026, 11, 20, 9, 0)
# Files that share a shop: many, since one that is held up by another is a failure too.
TOGETHER = 60


@dataclass
class Landed:
    """What became of one file. `crash` is a traceback, which no file may cause."""

    trial: Trial
    # One for each member of a packed file.
    deliveries: list[Delivery] = field(default_factory=list)
    crash: str = ""
    # What was said instead of a delivery, as by a command that came before.
    refusal: str = ""
    # Mark and record of each accepted row.
    accepted: list[tuple[str, tuple[Any, ...]]] = field(default_factory=list)
    # Source text, reason and line of each rejected row.
    rejected: list[tuple[str, str, int | None]] = field(default_factory=list)

    @property
    def error(self) -> str:
        """Why nothing of the file was landed."""
        if self.refusal:
            return self.refusal
        is_refused = self.deliveries and all(delivery.error for delivery in self.deliveries)
        return "; ".join(str(delivery.error) for delivery in self.deliveries) if is_refused else ""

    def counted(self, name: str) -> int:
        """A count of the deliveries, in all."""
        return sum(getattr(delivery, name) for delivery in self.deliveries)


__all__ = ["NOW", "Landed", "import_files", "land", "look_up", "texts"]


def land(trials: Iterable[Trial]) -> Iterator[Landed]:
    """Take in all files, many into one shop; where a batch breaks, its halves tell which file it was."""
    ordered = sorted(trials, key=lambda trial: repr(trial.shop))
    for shop, alike in groupby(ordered, key=lambda trial: trial.shop):
        for together in _batches(list(alike)):
            yield from _landed(shop, together)


def _batches(trials: Sequence[Trial]) -> Iterator[tuple[Trial, ...]]:
    """No two files of one name in a batch."""
    for some in _in_dozens(trials):
        names: dict[str, int] = {}
        layers: dict[int, list[Trial]] = {}
        for trial in some:
            names[trial.file_name] = names.get(trial.file_name, -1) + 1
            layers.setdefault(names[trial.file_name], []).append(trial)
        yield from map(tuple, layers.values())


def _in_dozens(trials: Sequence[Trial]) -> Iterator[Sequence[Trial]]:
    for first in range(0, len(trials), TOGETHER):
        yield trials[first : first + TOGETHER]


def _landed(shop: Shop, trials: Sequence[Trial]) -> list[Landed]:
    with tempfile.TemporaryDirectory() as folder:
        try:
            return _imported(Path(folder), shop, trials)
        except Exception:
            reported = traceback.format_exc()
    if len(trials) > 1:
        middle = len(trials) // 2
        return [*_landed(shop, trials[:middle]), *_landed(shop, trials[middle:])]
    return [Landed(trials[0], crash=reported)]


def _imported(folder: Path, shop: Shop, trials: Sequence[Trial]) -> list[Landed]:
    sources = tuple(
        replace(trial.source, name=f"source-{n}", files=f"{trial.file_name.partition(chr(46))[0]}.*")
        for n, trial in enumerate(trials)
    )
    settings = Settings(folder, shop=shop, engine=Engine(memory_limit="1GB", threads=1), sources=sources)
    inbox = settings.path("inbox")
    for trial in trials:
        (inbox / trial.file_name).write_bytes(trial.content)
    if any(set(trial.file_name) & set("[]*?") for trial in trials):
        # Names that would be patterns as a source's `files`: read as the named source.
        named = zip(trials, sources, strict=True)
        found = [one for trial, source in named for one in _as_source(settings, inbox / trial.file_name, source.name)]
    else:
        found = import_files(settings, now=NOW)
    reported = [Landed(trial, [one for one in found if _file(one, inbox) == trial.file_name]) for trial in trials]
    look_up(settings, reported)
    return reported


def _as_source(settings: Settings, path: Path, source: str) -> list[Delivery]:
    return import_files(settings, [path], now=NOW, source=source)


def _file(delivery: Delivery, inbox: Path) -> str:
    """The file in the inbox, of a member of a packed file too."""
    return delivery.file_name.removeprefix(f"{inbox}/").partition("/")[0]


def look_up(settings: Settings, landed: Sequence[Landed]) -> None:
    """Read what the warehouse holds of these files."""
    try:
        with warehouse.reading(settings) as connection:
            for one in landed:
                for delivery in one.deliveries:
                    if delivery.delivery_id is not None:
                        _read(connection, one, delivery.delivery_id)
    except NotFoundError:
        return


def _read(connection: warehouse.Connection, landed: Landed, delivery_id: int) -> None:
    trial = landed.trial
    listed = ", ".join((trial.mark, *trial.columns))
    query = f"select {listed} from accepted.{trial.kind} where delivery_id = ? order by row_number"
    rows = connection.execute(query, [delivery_id]).fetchall()
    landed.accepted += [(str(mark), tuple(cells)) for mark, *cells in rows]
    query = "select source_text, reason, line_number from rejected.rows where delivery_id = ? order by row_number"
    landed.rejected += connection.execute(query, [delivery_id]).fetchall()


def texts(source_text: str) -> str:
    """A rejected row's source text as one text, its JSON escapes undone."""
    try:
        reported = json.loads(source_text)
    except ValueError:
        return source_text
    cells = reported.values() if isinstance(reported, dict) else [reported]
    return "\n".join(str(cell) for cell in cells)
