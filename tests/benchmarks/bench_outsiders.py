"""Five shops like nobody's: figures against a ledger in plain Python, sentences of every surface accounted for.

The demo's surfaces are walked as well.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from pipelines.cli import main
from tests.odd_shops import accounted, surfaces, walking
from tests.odd_shops.ledger import wrong_figures
from tests.odd_shops.outsiders import OUTSIDERS, reviewed


def run() -> Iterator[tuple[str, float, float]]:
    """Per shop: figures that are not the ledger's, sentences that are nobody's and words made of no value."""
    with tempfile.TemporaryDirectory() as beside:
        for name, make in OUTSIDERS.items():
            folder = Path(beside) / name
            books = reviewed(folder, make)
            month = f"{books.month:%Y-%m}"
            strange = accounted.strange(surfaces.written(folder, month))
            page = walking.page(folder / "reviews" / f"review-{month}.html")
            wrong = list(wrong_figures(books, page))
            print(*(f"    {each}" for each in (*wrong, *strange)), sep="\n")
            yield f"{name}: figures that are not the ledger's", len(wrong), 0
            yield f"{name}: sentences of all surfaces that are nobody's, words made of nothing", len(strange), 0
        folder = Path(beside) / "demo"
        assert main(["demo", str(folder)]) == 0
        (page_file,) = folder.glob("reviews/review-????-??.html")
        strange = accounted.strange(surfaces.written(folder, page_file.stem.removeprefix("review-")))
        print(*(f"    {each}" for each in strange), sep="\n")
        yield "demo: sentences of all surfaces that are nobody's, words made of nothing", len(strange), 0
