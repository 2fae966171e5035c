"""The demo shop built again and again: other orders of its records, other numbers of threads. No bit may differ."""

from __future__ import annotations

import io
import random
import tempfile
from contextlib import redirect_stdout
from pathlib import Path

from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.rebuilding import built_again, differing, digests

Answer = list[tuple[str, float, float]]
REBUILDS = 50


def run(rebuilds: int = REBUILDS) -> Answer:
    """(what, measured, limit): tables that differed in any rebuild."""
    chance = random.Random(20261128)
    differed: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        with redirect_stdout(io.StringIO()):
            main(["demo", str(shop)])
        with warehouse.reading(load(shop)) as connection:
            first = digests(connection)
        for number in range(1, rebuilds + 1):
            threads = chance.choice((1, 2, 3, 4, 8))
            with built_again(shop, Path(folder) / "again", threads, number, split=chance.random() < 0.5) as found:
                for table, columns in differing(first, found).items():
                    differed.append(table)
                    print(f"    rebuild {number}, {threads} threads: {table} ({', '.join(columns)})", flush=True)
    return [(f"tables that differ in {rebuilds} rebuilds", len(differed), 0)]
