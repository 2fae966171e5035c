"""`dunnage intake` as a command, over an inbox of odd and broken files: it never breaks, and whole files land."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit

from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource, Source, load
from tests.strangers.trials import Trial

START = "from pipelines.cli import main; import sys; sys.exit(main(sys.argv[1:]))"


@dataclass(frozen=True)
class Told:
    """What the command left: its exit code, all that it printed, the marks of the rows that it accepted."""

    code: int
    printed: str
    marks: frozenset[str]


def intake(trials: Sequence[Trial]) -> Told:
    """Put the files of one kind into an inbox and take them in, each by a source of its own that its name begins."""
    with tempfile.TemporaryDirectory() as at:
        folder = Path(at)
        sources = [_stated(trial, f"source-{number}") for number, trial in enumerate(trials)]
        (folder / "dunnage.toml").write_text(tomlkit.dumps({"source": sources}), encoding="utf-8")
        (folder / "inbox").mkdir()
        for trial in trials:
            (folder / "inbox" / trial.file_name).write_bytes(trial.content)
        command = [sys.executable, "-c", START, "--shop", str(folder), "intake"]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        return Told(done.returncode, done.stdout + done.stderr, frozenset(_marks(folder, trials[0])))


def _stated(trial: Trial, name: str) -> dict[str, Any]:
    source: Source = trial.source
    columns = {column: _column(said) for column, said in source.columns.items()}
    stem = trial.file_name.partition(".")[0]
    files = "".join(map(_pattern, stem[:100])) + ("*.*" if len(stem) > 100 else ".*")
    more = {"decimal": source.decimal, "date_order": source.date_order}
    text = {"delimiter": source.delimiter, "encoding": source.read_as} if source.format == "csv" else {}
    stated = {"name": name, "kind": source.kind, "files": files, "format": source.format, **text, "columns": columns}
    return stated | {key: value for key, value in more.items() if value}


def _pattern(sign: str) -> str:
    """What stands for the sign in a pattern of Python's fnmatch; settings hold no control characters or folders."""
    if sign in "[*?":
        return f"[{sign}]"
    return sign if sign.isprintable() and sign != "\\" else "?"


def _column(said: ColumnSource) -> dict[str, Any]:
    reported = {"column": said.column, "value": said.value, "unit": said.unit}
    return {key: value for key, value in reported.items() if value is not None}


def _marks(folder: Path, trial: Trial) -> list[str]:
    with warehouse.reading(load(folder)) as connection:
        found = connection.execute(f"select {trial.mark} from accepted.{trial.kind}").fetchall()
    return [mark for (mark,) in found]
