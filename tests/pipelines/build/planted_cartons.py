"""What the right cartons would have saved on the demo's held-out months, by the literal rating of its own files."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sample_data.literal_rating import Parcel, rate, read_tariff, tariff_on
from tests.sample_data import shop_files

TARIFFS = [read_tariff(path) for path in sorted((shop_files.SHOP / "tariffs").glob("*.toml"))]
HELD_OUT_FROM = dt.date(2026, 8, 1)
# Outside sides instead: C-46 as it closes, and 16 x 16 x 7 in inside with board and bulge.
OTHER = {"C-48": (9.0, 9.0, 46.25), "M-20": (16.375, 16.375, 7.875)}


def planted_saving_cents() -> int:
    """By the literal rating: held-out tripods in C-46 instead of C-48, mirrors in a carton of 16 x 16 x 7 in inside."""
    saved = 0
    for packed in shop_files.bench().values():
        row = packed[0]
        day = row["Handed over"].date()
        alone = len(packed) == 1 and row["Pcs"] == 1
        if day < HELD_OUT_FROM or not alone or not all(isinstance(row[name], int | float) for name in ("L", "B", "H")):
            continue
        is_mirror = row["Box"] == "M-20" and 8 < as_number(row["Scale"]) < 16
        if row["Box"] == "C-48" or is_mirror:
            saved += literal_cents(row, day, (row["L"], row["B"], row["H"])) - literal_cents(
                row, day, OTHER[row["Box"]]
            )
    return saved


def as_number(cell: Any) -> float:
    return float(cell) if isinstance(cell, int | float) else 0.0


def literal_cents(row: dict[str, Any], day: dt.date, sides_in: tuple[float, float, float]) -> int:
    tariff = tariff_on(TARIFFS, row["Carrier"], day)
    assert tariff is not None
    parcel = Parcel(
        row["Service"],
        str(row["Zone"]),
        day,
        sides_in,
        as_number(row["Scale"]) or 12.0,
        is_residential=row["Home"] in (True, "yes", "Y"),
        destination_prefix=str(row["ZIP3"]),
    )
    return rate(parcel, tariff).total_cents
