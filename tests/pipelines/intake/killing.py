"""A shop whose intake is killed at random moments, each time in a folder of its own, then run again.

Run as a module in a process of its own: it forks, which is safe only where no engine has been opened before. Prints
how many moments left another content than an undisturbed run.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from pipelines import warehouse
from pipelines.intake import take_in
from tests.pipelines.intake.small_shop import NOW, SKUS, SmallShop, renamed, source
from tests.pipelines.intake.test_formats import COLUMNS, delimited, workbook

CONTENT = (
    "from accepted.skus order by all",
    "from superseded.skus order by all",
    "from accepted.cartons order by all",
    "from rejected.rows order by all",
    "select * from intake.deliveries order by all",
)


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


def in_a_child(work: Callable[[], object], seconds: float | None = None) -> bool:
    """Do it in a forked process, killed after so many seconds; whether it came to its end."""
    child = os.fork()
    if child == 0:
        work()
        os._exit(0)
    if seconds is not None:
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
    return os.waitpid(child, 0)[1] == 0


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
    assert in_a_child(lambda: written(shop))
    return (shop.folder / "content").read_text(encoding="utf-8")


def main(folder: Path, moments: int) -> None:
    """Kill `moments` runs, run each again, and compare with an undisturbed run."""
    calm = shop_in(folder / "calm")
    begun = time.perf_counter()
    assert in_a_child(lambda: take_in(calm.settings, now=NOW))
    length = time.perf_counter() - begun
    expected, chance = content(calm), random.Random(7)
    killed = different = 0
    # A run that ended before its moment came shows nothing and is not counted.
    for number in range(3 * moments):
        if killed == moments:
            break
        shop = shop_in(folder / str(number))
        killed += not in_a_child(lambda shop=shop: take_in(shop.settings, now=NOW), chance.uniform(0, length))  # type: ignore[misc]
        assert in_a_child(lambda shop=shop: take_in(shop.settings, now=NOW))  # type: ignore[misc]
        different += content(shop) != expected
        shutil.rmtree(shop.folder)
    print(killed, different)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
