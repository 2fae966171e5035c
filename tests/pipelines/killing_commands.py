"""Writing commands that are killed at random moments, each in a shop of its own, then run again to their end.

Run as a module in a process of its own: it forks, which is safe only where no engine has been opened before. Prints
how many runs were killed and what was found wrong. Intake has its own test; here is every other command that writes.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import random
import shutil
import signal
import sys
import time
import tomllib
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from models.errors import NotFoundError
from pipelines import keeping, reports, runs, warehouse
from pipelines.cli import main as dunnage
from pipelines.settings import load
from tests.pipelines.small_shop import small_shop

REJECTED = (
    "insert into rejected.rows select 1, 'skus', 'test', n, n, '{\"sku\": \"S' || n || '\"}', 'item_type', "
    "'is missing', null, null from range(20000) as t(n)"
)
RECORDS = ("accepted.sales", "accepted.weights", "accepted.charges", "accepted.claims", "rejected.rows")
BUILT = ("core.parcels", "marts.parcel_costs", "marts.shipping_margin", "analysis.actions")
LEFT = ("*.writing", "*.publishing", ".backup", ".unsealed", ".replay", ".restoring", "restoring.json", ".intake")
assert runs and reports  # imported before the forks, which then begin at once


@dataclass(frozen=True)
class Case:
    """A command, whether it begins with a shop whose tables are built, and how often it is tried among others."""

    words: tuple[str, ...]
    is_built: bool
    share: int


CASES = (
    Case(("review",), False, 2),
    Case(("send", "--dry-run"), True, 2),
    Case(("rejects", "--export"), True, 4),
    Case(("backup",), True, 4),
    Case(("restore", "--force", "backup.zip"), True, 4),
    Case(("decide", "corner blocks", "--item-type", "tripod", "--from", "2026-10-06"), True, 2),
    Case(("bench-sheets",), True, 2),
)


def in_a_child(work: Callable[[], int | None], seconds: float | None = None) -> bool:
    """Do it in a forked process, killed after so many seconds; whether it came to its end without an error."""
    child = os.fork()
    if child == 0:
        with open(os.devnull, "w") as nowhere, contextlib.redirect_stdout(nowhere):  # noqa: PTH123
            done = work()
        os._exit(done or 0)
    if seconds is not None:
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
    return os.waitpid(child, 0)[1] == 0


def run(folder: Path, case: Case, seconds: float | None = None) -> bool:
    """The command in this shop."""
    words = [str(folder / word) if word == "backup.zip" else word for word in case.words]
    return in_a_child(lambda: dunnage(["--shop", str(folder), *words]), seconds)


def prepare(folder: Path) -> None:
    """A shop with rejected rows, before and after its first review, each with a backup."""
    settings = small_shop(folder / "unbuilt")
    with warehouse.writing(settings, "test") as connection:
        connection.execute(REJECTED)
    shutil.copytree(folder / "unbuilt", folder / "built")
    built = load(folder / "built")
    runs.run_review(built)
    keeping.backup(built, folder, runs.now_at(built)).path.replace(folder / "built" / "backup.zip")


def digest(folder: Path, tables: tuple[str, ...]) -> str:
    """The rows of these tables as one hash, told by a child."""

    def tell() -> None:
        try:
            with warehouse.reading(load(folder)) as connection:
                rows = [connection.execute(f"from {table} order by all").fetchall() for table in tables]
                said = hashlib.sha256(repr(rows).encode()).hexdigest()
        except NotFoundError:
            said = "no warehouse"
        (folder / "digest").write_text(said, encoding="utf-8")

    assert in_a_child(tell)
    return (folder / "digest").read_text(encoding="utf-8")


def faults(folder: Path, case: Case, template: Path, seconds: float) -> Iterator[str]:
    """Kill the command once, look, run it again, look again. First yields "killed" if it really was."""
    shutil.copytree(template, folder)
    if not run(folder, case, seconds):
        yield "killed"
    if digest(folder, RECORDS) != expected(template, "records"):
        yield f"{case.words}: records changed"
    if not run(folder, case):
        yield f"{case.words}: the next run failed"
    if digest(folder, RECORDS) != expected(template, "records"):
        yield f"{case.words}: records differ after the next run"
    if digest(folder, BUILT) != expected(template, "built"):
        yield f"{case.words}: the built tables differ"
    yield from broken_files(folder, case)


def expected(template: Path, what: str) -> str:
    """What the tables hold after an undisturbed review."""
    return (template.parent / what / "expected").read_text(encoding="utf-8")


def broken_files(folder: Path, case: Case) -> Iterator[str]:
    """Files half written, or left over from the killed run."""
    for pattern in LEFT:
        yield from (f"{case.words}: {path.name} is left" for path in folder.rglob(pattern))
    for path in (*folder.rglob("*.zip"), *folder.rglob("*.xlsx")):
        if not zipfile.is_zipfile(path):
            yield f"{case.words}: {path.name} is torn"
    for path in folder.rglob("*.html"):
        if not path.read_text(encoding="utf-8").rstrip().endswith("</html>"):
            yield f"{case.words}: {path.name} is torn"
    for path in folder.rglob("*.toml"):
        tomllib.loads(path.read_text(encoding="utf-8"))


def main(folder: Path, moments: int) -> None:
    """Kill `moments` runs, spread over the cases by their shares."""
    assert in_a_child(lambda: prepare(folder))
    unbuilt, built = folder / "unbuilt", folder / "built"
    for what, tables in (("records", RECORDS), ("built", BUILT)):
        (folder / what).mkdir(exist_ok=True)
        (folder / what / "expected").write_text(digest(built, tables), encoding="utf-8")
    chance, killed, wrong = random.Random(11), 0, []
    lengths = {case: timed(folder, case, built if case.is_built else unbuilt) for case in CASES}
    order = [case for case in CASES for _ in range(case.share)]
    for number in range(moments):
        case = order[number % len(order)]
        shop = folder / str(number)
        found = list(faults(shop, case, built if case.is_built else unbuilt, chance.uniform(0, lengths[case])))
        killed += "killed" in found
        wrong += [each for each in found if each != "killed"]
        shutil.rmtree(shop)
    print(json.dumps({"killed": killed, "wrong": wrong}))


def timed(folder: Path, case: Case, template: Path) -> float:
    """Seconds of an undisturbed run."""
    shutil.copytree(template, folder / "timed")
    begun = time.perf_counter()
    assert run(folder / "timed", case), case
    seconds = time.perf_counter() - begun
    shutil.rmtree(folder / "timed")
    return seconds


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
