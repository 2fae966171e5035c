"""Rotten warehouses, hostile backups, and what proof and durability cost beside a plain copy of the same file."""

from __future__ import annotations

import io
import shutil
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import redirect_stdout
from datetime import datetime
from pathlib import Path

from models.errors import BackupError
from pipelines.cli import main
from pipelines.shop import backup, durable, warehouse
from pipelines.shop.backup import contents, copying
from pipelines.shop.settings import load
from tests.pipelines.shop.backup.hostile import HOSTILE, Forged, lying_there
from tests.pipelines.shop.backup.rotten import harms, indexed_shop, outcome

HARMS = 120
NOW = datetime(2026, 11, 20, 9, 15)


def run() -> Iterator[tuple[str, float, float]]:
    """What was measured and its limit."""
    for measure in (rotten, hostile, costs):
        with tempfile.TemporaryDirectory() as folder:
            yield from measure(Path(folder))


def rotten(folder: Path) -> Iterator[tuple[str, float, float]]:
    """Bits flipped in rows, indexes and lists of tables, and tails cut off, each in a warehouse of its own."""
    shop = indexed_shop(folder / "shop")
    with warehouse.reading(shop) as connection:
        pristine = copying.digests(connection, "warehouse")
    found = Counter(
        (harm.where, outcome(shop, harm, folder / str(number), pristine))
        for number, harm in enumerate(harms(shop, HARMS, seed=17))
    )
    vouched = sum(count for (_, became), count in found.items() if became == "vouched for")
    yield f"backups of {HARMS} rotten warehouses that do not hold the shop's rows", vouched, 0
    yield f"flipped bits in rows, of {HARMS // 4}, that a backup did not see", HARMS // 4 - found["rows", "refused"], 0
    yield f"rotten indexes, of {HARMS // 4}, whose backup was refused", found["index", "refused"], HARMS // 4


def hostile(folder: Path) -> Iterator[tuple[str, float, float]]:
    """Forged backups that were taken, or changed a file in or beside the shop."""
    shop = indexed_shop(folder / "world" / "shop")
    (shop.path("tariffs") / "northline.csv").write_text("zone,price\n1,2\n", encoding="utf-8")
    sound = backup.backup(shop, folder, NOW).path
    before, taken, changed = dict(lying_there(folder / "world")), 0, 0
    for change in HOSTILE.values():
        forged = Forged.of(sound)
        change(forged)
        forged.pack(folder / "forged.zip")
        try:
            backup.restore(shop.folder, folder / "forged.zip", is_forced=True, now=NOW)
            taken += 1
        except BackupError:
            changed += dict(lying_there(folder / "world")) != before
    yield f"hostile backups of {len(HOSTILE)} that were restored", taken, 0
    yield f"hostile backups of {len(HOSTILE)} that changed a file", changed, 0


def costs(folder: Path) -> Iterator[tuple[str, float, float]]:
    """Processor time on the demo shop, in the same run as the plain way."""
    with redirect_stdout(io.StringIO()):
        main(["demo", str(folder / "shop")])
    shop = load(folder / "shop")
    file = warehouse.files(shop)[0]
    zipped = least(lambda: plainly_zipped(file, folder / "plain.zip"))
    proven = least(lambda: backup.backup(shop, folder / "stick", NOW))
    yield "proven backup of the demo / its files zipped and read back", proven / zipped, 12
    (made,) = (folder / "stick").glob("*.zip")
    yield "its bytes / those of the zipped file", made.stat().st_size / (folder / "plain.zip").stat().st_size, 1.5
    copied = least(lambda: shutil.copy2(file, folder / "copy"))
    published = least(lambda: published_once(file, folder / "copy"))
    yield "a durable copy for readers / a plain one", published / copied, 2


def plainly_zipped(file: Path, target: Path) -> None:
    """What a backup was before: the file as it lies, zipped, and read back."""
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        packed.write(file)
    with zipfile.ZipFile(target) as packed, packed.open(packed.namelist()[0]) as member:
        contents.copied(member, None)


def published_once(file: Path, target: Path) -> None:
    """A copy whose blocks and name are on the disk."""
    with durable.replacing(target) as fresh:
        shutil.copy2(file, fresh)


def least(work: Callable[[], object], times: int = 3) -> float:
    """Processor seconds of the quickest of some runs."""
    taken = []
    for _ in range(times):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return min(taken)
