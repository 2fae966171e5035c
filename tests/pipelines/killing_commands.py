"""Writing commands that are killed at random moments, each in a shop of its own, then run again to their end.

Run as a module in a process of its own: it forks, which is safe only where no engine has been opened before. Prints
how many runs were killed and what was found wrong. Intake has its own test; here is every other command that writes.
All that the commands load is loaded before the forks: a kill then falls into what a command does, not into an import.
"""

from __future__ import annotations

import hashlib
import importlib
import json
import pkgutil
import random
import shutil
import sys
import tomllib
import zipfile
from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import dashboards
import models
import pipelines
from models.errors import NotFoundError
from pipelines.cli import main as dunnage
from pipelines.orchestration import serving
from pipelines.review import runs
from pipelines.shop import backup, run_log, warehouse
from pipelines.shop.settings import Settings, load
from tests.pipelines.ending import End, adopt_orphans, in_a_child, left_behind
from tests.pipelines.rated_shop import rated_shop
from tests.pipelines.small_shop import small_shop

REJECTED = (
    "insert into rejected.rows select 1, 'skus', 'test', n, n, '{\"sku\": \"S' || n || '\"}', 'item_type', "
    "'is missing', null, null from range(20000) as t(n)"
)
RECORDS = ("accepted.sales", "accepted.weights", "accepted.charges", "accepted.claims", "rejected.rows")
# Which runs were done and which letters were written, each once, after `schedule --once`; days pass in a long campaign.
DONE = (
    "(select kind, outcome from outbox.runs where finished_at is not null)",
    "(select report, edition, recipient from outbox.messages)",
)
# The choice itself; how long it took and when it was made differ.
CHOSEN = ("(select size_code, served_parcel_count, saving_year_cents from analysis.assortment)",)
BUILT = ("core.parcels", "marts.parcel_costs", "marts.shipping_margin", "analysis.actions")
LEFT = ("*.writing", "*.publishing", ".backup", ".unsealed", ".replay", ".restoring", "restoring.json", ".intake")
# Further engines, which are not installed everywhere and which no command here loads.
OTHER_ENGINES = "pipelines.build.spark"
FLOWS, ORCHESTRATOR = "pipelines.flows", "prefect.server.api.server"


@dataclass(frozen=True)
class Case:
    """A command, the shop that it begins with, and how often it is tried among others."""

    words: tuple[str, ...]
    template: str
    share: int


CASES = (
    Case(("review",), "unbuilt", 2),
    Case(("send", "--dry-run"), "built", 2),
    Case(("rejects", "--export"), "built", 4),
    Case(("backup",), "built", 4),
    Case(("restore", "--force", "backup.zip"), "built", 4),
    Case(("decide", "foam", "--item-type", "tripod", "--from", "2026-10-06", "--because", "claim"), "built", 2),
    Case(("bench-sheets",), "built", 2),
    Case(("cartons",), "rated", 2),
    Case(("schedule", "--once"), "missed", 2),
)


def run(folder: Path, case: Case, seconds: float | None = None) -> End:
    """The command in this shop, ended after so many seconds of processor time."""
    words = [str(folder / word) if word == "backup.zip" else word for word in case.words]
    return in_a_child(lambda: dunnage(["--shop", str(folder), *words]), seconds)


def load_all() -> None:
    """Load every module of the house, but for the orchestrator's."""
    for package in (models, dashboards, pipelines):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if not found.name.startswith(OTHER_ENGINES) and found.name != FLOWS:
                importlib.import_module(found.name)


def load_orchestrator(folder: Path) -> None:
    """Load the orchestrator, its record in this folder for all shops to come."""
    serving.set_up(Settings(folder=folder))
    flows, _ = (importlib.import_module(name) for name in (FLOWS, ORCHESTRATOR))
    # Nothing, recorded: the first start makes the database, which takes longer than a run.
    whole(flows.recorded()(int))


def whole(work: Callable[[], object]) -> None:
    """Do it in a child; fails with what it printed where it does not come to its end."""
    end = in_a_child(work)
    assert end.is_whole, end.said


def prepare(folder: Path, templates: Set[str]) -> None:
    """A shop with rejected rows, before and after its first review, each with a backup; the others where asked for."""
    from pipelines.shop.settings import now_at

    settings = small_shop(folder / "unbuilt")
    with warehouse.writing(settings, "test") as connection:
        connection.execute(REJECTED)
    shutil.copytree(folder / "unbuilt", folder / "built")
    built = load(folder / "built")
    runs.run_review(built)
    if "rated" in templates:
        rated_shop(folder / "rated")
    missed = load(shutil.copytree(folder / "built", folder / "missed"))
    run_log.begin(missed, datetime.now(UTC) - timedelta(days=40))
    backup.backup(built, folder, now_at(built)).path.replace(folder / "built" / "backup.zip")


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

    whole(tell)
    return (folder / "digest").read_text(encoding="utf-8")


def killed(folder: Path, case: Case, seconds: float) -> bool:
    """Kill the command in a shop made for it. A moment after its end tells nothing: then an earlier one is taken, since
    on a busy machine the same work takes now more and now less of the processor."""
    for share in (1, 2, 4, 8):
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(folder.parent / case.template, folder)
        if run(folder, case, seconds / share).is_killed:
            return True
    return False


def faults(folder: Path, case: Case, seconds: float) -> Iterator[str]:
    """Kill the command once, look, run it again, look again. First yields "killed" if it really was."""
    if killed(folder, case, seconds):
        yield "killed"
    yield from (f"{case.words}: still there: {each}" for each in left_behind())
    if digest(folder, RECORDS) != expected(folder, COMPARED[case.template][0]):
        yield f"{case.words}: records changed"
    again = run(folder, case)
    if not again.is_whole:
        yield f"{case.words}: the next run failed:\n{again.said}"
    for what in COMPARED[case.template]:
        if digest(folder, TABLES[what]) != expected(folder, what):
            yield f"{case.words}: {what}: the tables differ after the next run"
    yield from broken_files(folder, case)


TABLES = {
    **{"records": RECORDS, "built": BUILT, "done": DONE},
    **{"rated records": RECORDS, "rated": BUILT, "chosen": CHOSEN},
}
# What is compared with an undisturbed run, by the shop that a command begins with; the first is untouched by a kill.
COMPARED = {
    "unbuilt": ("records", "built"),
    "built": ("records", "built"),
    "missed": ("records", "built", "done"),
    "rated": ("rated records", "rated", "chosen"),
}


def expected(folder: Path, what: str) -> str:
    """What the tables hold after undisturbed runs."""
    return (folder.parent / f"{what}.expected").read_text(encoding="utf-8")


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


def main(folder: Path, moments: int, seed: int, cases: Sequence[Case] = CASES) -> None:
    """Kill `moments` runs, spread over the cases by their shares; progress goes to the standard error."""
    adopt_orphans()
    load_all()
    if any(case.words[0] == "schedule" for case in cases):
        load_orchestrator(folder)
    templates = {case.template for case in cases}
    whole(partial(prepare, folder, templates))
    lengths = noted_expected(folder, cases)
    chance, kills, wrong = random.Random(seed), 0, []
    order = list(cases) if moments <= len(cases) else [case for case in cases for _ in range(case.share)]
    for number in range(moments):
        case = order[number % len(order)]
        shop = folder / str(number)
        found = list(faults(shop, case, chance.uniform(0, lengths[case])))
        kills += "killed" in found
        wrong += [each for each in found if each != "killed"]
        shutil.rmtree(shop)
        print(f"{number + 1} of {moments}: {kills} killed, {len(wrong)} wrong", file=sys.stderr, flush=True)
    print(json.dumps({"killed": kills, "wrong": wrong}))


def noted_expected(folder: Path, cases: Sequence[Case]) -> dict[Case, float]:
    """Do each undisturbed in a copy of its shop, and note what the tables hold; returns processor time of each."""
    lengths = {}
    for case in cases:
        shop = shutil.copytree(folder / case.template, folder / "calm")
        end = run(shop, case)
        assert end.is_whole, end.said
        lengths[case] = end.seconds
        for what in COMPARED[case.template]:
            if not (noted := folder / f"{what}.expected").exists():
                noted.write_text(digest(shop, TABLES[what]), encoding="utf-8")
        shutil.rmtree(shop)
    return lengths


if __name__ == "__main__":
    chosen = [case for case in CASES if case.words[0] in sys.argv[4:]] or CASES
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), chosen)
