"""Messy files as a user brings them: `dunnage map` writes the column map, then intake reads by it."""

from __future__ import annotations

import csv
import io
import random
import tempfile
import traceback
from collections.abc import Container, Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from pipelines.cli import main
from pipelines.shop.settings import Source, load
from tests.strangers.exports import EXPORTS
from tests.strangers.landing import NOW, Landed, import_files, look_up
from tests.strangers.layouts import LAYOUTS, Page
from tests.strangers.spreadsheets import workbook
from tests.strangers.trials import Trial

SHOP = '[shop]\nname = "Fernmoor"\ncurrency = "USD"\ntime_zone = "UTC"\n[engine]\nmemory_limit = "1GB"\nthreads = 1\n'
ROWS = 14
COUNT = len(LAYOUTS) * len(EXPORTS)


def trials(seed: int = 1) -> Iterator[tuple[Trial, tuple[str, ...]]]:
    """Sixty files, and the constants that their user states."""
    chance = random.Random(seed)
    for number, layout in enumerate(LAYOUTS):
        for name, export in EXPORTS.items():
            page = layout(export(f"{number:02}{name[0].upper()}", chance, ROWS))
            yield _trial(layout.__name__.replace("_", " "), f"{name}-{layout.__name__}", page), page.export.constants


def _trial(group: str, name: str, page: Page) -> Trial:
    form = "xlsx" if page.is_workbook else "tsv" if page.delimiter == "\t" else "csv"
    export = page.export
    return Trial(
        group,
        form,
        f"{name}.{form}",
        _written(page),
        Source(name, export.kind, "*", {}, format=form),
        export.rows,
        export.judged,
        export.mark,
        extra=len(page.grid) - len(export.rows),
    )


def _written(page: Page) -> bytes:
    if page.is_workbook:
        return workbook(page.grid)
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=page.delimiter,
        quoting=csv.QUOTE_ALL if page.quotes_all else csv.QUOTE_MINIMAL,
        lineterminator=page.end,
    )
    for row in page.grid:
        if len(row) == 1:
            # A title, as a program prints it: no quotes.
            out.write(f"{row[0]}{page.end}")
        else:
            writer.writerow(row)
    return (page.mark + out.getvalue()).encode()


def land(numbers: Container[int], seed: int = 1) -> Iterator[Landed]:
    """The files of these numbers, each in a shop of its own."""
    for number, (trial, constants) in enumerate(trials(seed)):
        if number in numbers:
            with tempfile.TemporaryDirectory() as folder:
                yield _mapped_and_landed(Path(folder), trial, constants)


def _mapped_and_landed(folder: Path, trial: Trial, constants: tuple[str, ...]) -> Landed:
    (folder / "dunnage.toml").write_text(SHOP, encoding="utf-8")
    (folder / "inbox").mkdir()
    path = folder / "inbox" / trial.file_name
    path.write_bytes(trial.content)
    landed = Landed(trial)
    try:
        landed.refusal = _proposed(folder, path, trial.kind, constants)
        if not landed.refusal:
            settings = load(folder)
            landed.deliveries = import_files(settings, [path], now=NOW)
            look_up(settings, [landed])
    except Exception:
        landed.crash = traceback.format_exc()
    return landed


def _proposed(folder: Path, path: Path, kind: str, constants: tuple[str, ...]) -> str:
    """What the command says where it cannot write a map; nothing where it does."""
    stated = [word for constant in constants for word in ("--constant", constant)]
    reported = io.StringIO()
    with redirect_stdout(reported), redirect_stderr(reported):
        code = main(["--shop", str(folder), "map", str(path), "--as", kind, "--write", *stated])
    return reported.getvalue() if code else ""
