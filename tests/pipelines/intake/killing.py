"""A shop whose intake or withdrawal is killed at random moments, each time in a folder of its own, then run again.

Run as a module in a process of its own: it forks, which is safe only where no engine has been opened before. Prints
how many moments left another content than an undisturbed run.
"""

from __future__ import annotations

import hashlib
import importlib
import pkgutil
import random
import shutil
import sys
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path

import models
import pipelines.intake
from models.errors import IntakeError
from pipelines.intake.importing import import_files
from pipelines.intake.withdrawing import withdraw
from pipelines.shop import warehouse
from tests.pipelines.ending import End, in_a_child
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import COLUMNS, delimited, workbook

CONTENT = (
    "from accepted.skus order by all",
    "from superseded.skus order by all",
    "from accepted.cartons order by all",
    "from rejected.rows order by all",
    "select * from intake.deliveries order by all",
    "select * from intake.withdrawals order by all",
)
WITHDRAWN = 2


# Written once: a workbook holds the moment of its making.
SHEET = workbook((("Stock no", "Kind"), *((f"S{n}", "mount") for n in range(0, 300, 3))))


def shop_in(folder: Path) -> SmallShop:
    """Files of three sources, with rejections, corrections and repeated keys among them."""
    sources = [
        renamed(SKUS, files="skus*.csv"),
        source("boxes", "cartons", "cartons*.csv", COLUMNS),
        renamed(source("sheet", "skus", "skus*.xlsx", {"sku": "Stock no", "item_type": "Kind"}), format="xlsx"),
    ]
    shop = SmallShop(folder, sources)
    shop.put("cartons.csv", delimited())
    shop.put(
        "skus-1.csv", "Stock no,Kind\n" + "".join(f"S{n},{'' if n % 50 == 7 else 'tripod'}\n" for n in range(3_000))
    )
    shop.put("skus-2.csv", "Stock no,Kind\n" + "".join(f"S{n},tube\n" for n in range(0, 4_000, 2)))
    shop.put("skus-3.xlsx", SHEET)
    shop.put("skus-4.csv", "Stock no,Kind\nS7,tube\nS7,mount\nS8,x,y\n")
    return shop


def written(shop: SmallShop) -> None:
    """The content of a shop's warehouse and archive, as one hash in a file."""
    with warehouse.reading(shop.settings) as connection:
        tables = [connection.execute(query).fetchall() for query in CONTENT]
    archived = sorted(path.name for path in (shop.folder / "archive").iterdir())
    left = [path.name for path in shop.folder.iterdir() if path.name == ".intake"]
    digest = hashlib.sha256(repr((tables, archived, left)).encode()).hexdigest()
    (shop.folder / "content").write_text(digest, encoding="utf-8")


def content(shop: SmallShop) -> str:
    """`written`, told by a child."""
    whole(lambda: written(shop))
    return (shop.folder / "content").read_text(encoding="utf-8")


def whole(work: Callable[[], object]) -> End:
    """Do it in a child to its end; fails with what it printed where it did not come there."""
    end = in_a_child(lambda: work() and None)
    assert end.is_whole, end.said
    return end


def taken_back(shop: SmallShop) -> None:
    """The second delivery withdrawn, unless it is."""
    with suppress(IntakeError):
        withdraw(shop.settings, WITHDRAWN, now=NOW)


def landed_in(folder: Path) -> SmallShop:
    """The shop with its files taken in."""
    shop = shop_in(folder)
    whole(partial(import_files, shop.settings, now=NOW))
    return shop


WORKS: dict[str, tuple[Callable[[Path], SmallShop], Callable[[SmallShop], object]]] = {
    "intake": (shop_in, lambda shop: import_files(shop.settings, now=NOW)),
    "withdrawal": (landed_in, taken_back),
}


def load_all() -> None:
    """Load what an intake loads, so that a kill falls into its work and not into an import."""
    for package in (models, pipelines.intake):
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            importlib.import_module(found.name)


def main(folder: Path, moments: int, name: str, seed: int) -> None:
    """Kill `moments` runs, run each again, and compare with an undisturbed run."""
    load_all()
    start, work = WORKS[name]
    calm = start(folder / "calm")
    length = whole(partial(work, calm)).seconds
    expected, chance = content(calm), random.Random(seed)
    killed = different = 0
    # A run that ended before its moment came shows nothing and is not counted.
    for number in range(3 * moments):
        if killed == moments:
            break
        shop = start(folder / str(number))
        killed += in_a_child(partial(work, shop), chance.uniform(0, length)).is_killed
        whole(partial(work, shop))
        different += content(shop) != expected
        shutil.rmtree(shop.folder)
    print(killed, different)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3], int(sys.argv[4]))
