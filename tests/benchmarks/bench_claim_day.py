"""The day of a claim on the demo shop: one parcel's sheet and a packet of twenty pictures, in processor seconds; how
often intervals of rules of insuring miss the truth of generated shops.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from PIL import Image

from models.analyses.insurance import reckoned
from models.plain_rows import as_dicts
from pipelines.cli import main
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.insured_shops import InsuredShop, generated

Result = tuple[str, float, float]
SHOPS, RULES = 20, ((0, False), (10_000, False), (10_000, True), (30_000, True))

PICTURES, SIDES = 20, (4_000, 3_000)
SHEET_SECONDS, PACKET_SECONDS = 1.0, 10.0


def run() -> list[Result]:
    """(what, measured, limit) of each measurement; measured must not be above the limit."""
    with tempfile.TemporaryDirectory() as beside:
        folder = Path(beside) / "shop"
        assert main(["demo", str(folder)]) == 0
        with warehouse.reading(load(folder)) as connection:
            found = connection.execute(
                "select parcel_id from core.claims where claim_state = 'filed' limit 1"
            ).fetchall()
        parcel = str(found[0][0])
        _photograph(folder / "evidence" / parcel)
        assert main(["--shop", str(folder), "claim", parcel, "--attach"]) == 0
        sheet = min(_seconds(folder, "claim", parcel) for _ in range(3))
        packet = _seconds(folder, "claim", parcel, "--packet", str(Path(beside) / "claim.zip"))
    return [
        ("processor seconds of `dunnage claim`, best of three", sheet, SHEET_SECONDS),
        (f"processor seconds of a packet of {PICTURES} pictures of 12 megapixels", packet, PACKET_SECONDS),
        *_insuring(),
    ]


def _insuring() -> list[Result]:
    """Of generated shops, those whose interval misses what the rule is to be expected to bring."""
    shops = [generated(seed) for seed in range(100, 100 + SHOPS)]
    found = [(shop, as_dicts(reckoned(shop.cells, shop.claims))) for shop in shops]
    return [
        (
            f"share of {SHOPS} shops whose truth is outside the interval: from {worth}, fragile only {is_fragile_only}",
            sum(_is_outside(shop, rows, worth, is_fragile_only) for shop, rows in found) / SHOPS,
            0.1,
        )
        for worth, is_fragile_only in RULES
    ]


def _is_outside(shop: InsuredShop, rows: list[dict[str, Any]], worth: int, is_fragile_only: bool) -> bool:
    asked = (worth, is_fragile_only)
    (row,) = [row for row in rows if (row["least_worth_cents"], row["is_fragile_only"]) == asked]
    return not row["net_low_cents"] <= shop.truth(worth, is_fragile_only) <= row["net_high_cents"]


def _photograph(folder: Path) -> None:
    """Pictures with as much in them as a camera's: noise, drawn larger."""
    folder.mkdir(parents=True)
    noise = random.Random(11)
    for number in range(PICTURES):
        small = Image.frombytes("RGB", (400, 300), noise.randbytes(400 * 300 * 3))
        small.resize(SIDES).save(folder / f"contents {number}.jpg", quality=90)


def _seconds(folder: Path, *words: str) -> float:
    """Processor seconds of the command and of the processes that it starts."""
    measure = (
        "import resource, sys; from pipelines.cli import main; code = main(sys.argv[1:]); "
        "used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]; "
        "print(sum(each.ru_utime + each.ru_stime for each in used), file=sys.stderr); sys.exit(code)"
    )
    command = [sys.executable, "-c", measure, "--shop", str(folder), *words]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return float(done.stderr.strip().splitlines()[-1])
