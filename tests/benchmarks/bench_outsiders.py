"""Five shops like nobody's: figures against a ledger in plain Python, sentences of every surface accounted for."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.odd_shops import accounted, surfaces, walking
from tests.odd_shops.ledger import wrong_figures
from tests.odd_shops.outsiders import OUTSIDERS, reviewed


def run() -> Iterator[tuple[str, float, float]]:
    """Per shop: figures that are not the ledger's, sentences that are nobody's, words made of no value."""
    with tempfile.TemporaryDirectory() as beside:
        for name, make in OUTSIDERS.items():
            folder = Path(beside) / name
            books = reviewed(folder, make)
            month = f"{books.month:%Y-%m}"
            said = list(surfaces.told(folder, month))
            page = walking.page(folder / "reviews" / f"review-{month}.html")
            found: dict[str, list[Any]] = {
                "figures that are not the ledger's": list(wrong_figures(books, page)),
                "sentences that are nobody's": sorted(set(accounted.unaccounted(said))),
                "words made of nothing": sorted(set(accounted.odd_words(said))),
            }
            for what, faults in found.items():
                print(*(f"    {fault}" for fault in faults), sep="\n", end="\n" if faults else "")
                yield f"{name}: {what}", len(faults), 0
