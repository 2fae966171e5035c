"""Processor seconds of whole commands on the demo shop, each beside what it may take: users wait for every one of them.

Best of three, of a process of its own each time, with all that it loads. Nothing has changed since the review, and
the program's text has been compiled before, as it has been for whoever ran a command once.
"""

from __future__ import annotations

import csv
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from pipelines.shop import warehouse
from pipelines.shop.settings import load

Result = tuple[str, float, float]

TRIES = 3
ROWS = 100_000
TRACED = ("trace", "marts.item_type_costs", "--item-type", "tripod", "--month", "2026-10")


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    with tempfile.TemporaryDirectory() as kept:
        shop = Path(kept) / "shop"
        spent("demo", str(shop))
        commands = {
            ("--help",): 0.1,
            **{("--shop", str(shop), *command): limit for command, limit in limits(shop).items()},
            ("--shop", str(shop), "map", str(long_file(Path(kept)))): 2.0,
        }
        return [
            (f"processor seconds of dunnage {spoken(command)}", min(spent(*command) for _ in range(TRIES)), limit)
            for command, limit in commands.items()
        ]


def limits(shop: Path) -> dict[tuple[str, ...], float]:
    """Commands that find everything built, with the seconds that each may take."""
    with warehouse.reading(load(shop)) as connection:
        ((parcel,),) = connection.execute("select min(parcel_id) from core.parcels").fetchall()
    return {
        ("status",): 0.8,
        ("disputes",): 0.8,
        ("explain", str(parcel)): 0.8,
        TRACED: 0.8,
        ("watch",): 1.5,
        ("review",): 2.5,
    }


def long_file(folder: Path) -> Path:
    """A list of sales as a marketplace writes it, of many rows."""
    path = folder / "orders.csv"
    with path.open("w", newline="", encoding="utf-8") as stream:
        rows = csv.writer(stream)
        rows.writerow(["Order number", "Line", "Ordered at", "Item type", "Quantity", "Item price", "Shipping charged"])
        for number in range(ROWS):
            day = f"2026-{number % 12 + 1:02}-{number % 28 + 1:02} {number % 24:02}:15:00"
            rows.writerow([f"A-{number}", 1, day, "tripod", 1, f"{number % 90 + 10}.95", f"{number % 30}.50"])
    return path


def spoken(command: tuple[str, ...]) -> str:
    """The command without the folders of this run."""
    return " ".join(Path(word).name if word.startswith("/") else word for word in command if word != "--shop")


def spent(*command: str) -> float:
    """Processor seconds of one run of the program, its children's included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    code = "import sys; from pipelines.cli import main; sys.exit(main(sys.argv[1:]))"
    line, kept = [sys.executable, "-c", code, *command], os.environ | {"PYTHONDONTWRITEBYTECODE": ""}
    subprocess.run(line, capture_output=True, stdin=subprocess.DEVNULL, check=False, env=kept)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
